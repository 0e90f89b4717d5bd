import type { Rect } from '../raster/Rect.js'

/** Rectangles of at most `size` pixels a side that cover a picture, row by row, each starting on a multiple of `size`. */
export function tilesOf(width: number, height: number, size: number): Rect[] {
  const rects: Rect[] = []
  for (let y = 0; y < height; y += size) {
    for (let x = 0; x < width; x += size) {
      rects.push({ x, y, width: Math.min(size, width - x), height: Math.min(size, height - y) })
    }
  }
  return rects
}
