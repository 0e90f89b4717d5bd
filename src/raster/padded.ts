import type { Rect } from './Rect.js'
import type { Source } from './Source.js'
import { emptyTile, type Tile } from './Tile.js'

/** The index inside 0..length-1 that index `i` stands for when the picture is mirrored at its borders (edge repeated). */
export function mirrored(i: number, length: number): number {
  const period = 2 * length
  const m = ((i % period) + period) % period
  return m < length ? m : period - 1 - m
}

/**
 * A region that may leave the picture: what lies outside is the picture mirrored at its border.
 * @param source any picture
 * @param rect any rectangle, in the source's pixels
 */
export function padded(source: Source, rect: Rect): Tile {
  const { width, height } = source
  if (rect.x >= 0 && rect.y >= 0 && rect.x + rect.width <= width && rect.y + rect.height <= height) {
    return source.region(rect)
  }
  const xs = Int32Array.from({ length: rect.width }, (_, i) => mirrored(rect.x + i, width))
  const ys = Int32Array.from({ length: rect.height }, (_, i) => mirrored(rect.y + i, height))
  const x0 = xs.reduce((a, b) => Math.min(a, b))
  const y0 = ys.reduce((a, b) => Math.min(a, b))
  const x1 = xs.reduce((a, b) => Math.max(a, b)) + 1
  const y1 = ys.reduce((a, b) => Math.max(a, b)) + 1
  const inner = source.region({ x: x0, y: y0, width: x1 - x0, height: y1 - y0 })
  const out = emptyTile(rect)
  const first = Math.min(rect.width, Math.max(0, -rect.x))
  const last = Math.max(first, Math.min(rect.width, width - rect.x))
  inner.planes.forEach((plane, c) => {
    const target = out.planes[c]
    for (let j = 0; j < rect.height; j++) {
      const from = (ys[j] - y0) * (x1 - x0) - x0
      const to = j * rect.width
      // What lies inside is copied as it is, only the rest pixel by pixel.
      target.set(plane.subarray(from + rect.x + first, from + rect.x + last), to + first)
      for (let i = 0; i < first; i++) target[to + i] = plane[from + xs[i]]
      for (let i = last; i < rect.width; i++) target[to + i] = plane[from + xs[i]]
    }
  })
  return out
}
