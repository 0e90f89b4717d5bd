import type { Tile } from '../raster/Tile.js'

/** Copies a tile into the larger one that holds its place. */
export function paste(part: Tile, into: Tile): void {
  const { x, y, width, height } = part.rect
  part.planes.forEach((plane, c) => {
    for (let row = 0; row < height; row++) {
      into.planes[c].set(plane.subarray(row * width, (row + 1) * width), (y + row) * into.rect.width + x)
    }
  })
}
