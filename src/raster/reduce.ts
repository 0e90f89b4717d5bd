import { kernels, scratch } from './kernels/kernels.js'
import type { Tile } from './Tile.js'

/**
 * Averages a tile over whole blocks of `factor` x `factor` pixels; a partial last block is averaged over what it has.
 * @param tile any tile; its rect's origin is taken as the first block's corner
 * @param factor whole number >= 1
 * @returns a tile at (x / factor, y / factor) with planes of the reduced size
 */
export function reduce(tile: Tile, factor: number): Tile {
  const { x, y, width, height } = tile.rect
  const outWidth = Math.ceil(width / factor)
  const outHeight = Math.ceil(height / factor)
  const [row, sums] = scratch(width * 4, outWidth * 8)
  const { memory, addRowBlocks } = kernels()
  const rowView = new Float32Array(memory.buffer, row, width)
  const sumView = new Float64Array(memory.buffer, sums, outWidth)
  const planes = tile.planes.map((plane) => {
    const out = new Float32Array(outWidth * outHeight)
    for (let by = 0; by < outHeight; by++) {
      const end = Math.min((by + 1) * factor, height)
      sumView.fill(0)
      for (let r = by * factor; r < end; r++) {
        rowView.set(plane.subarray(r * width, (r + 1) * width))
        addRowBlocks(row, width, factor, sums)
      }
      for (let bx = 0; bx < outWidth; bx++) {
        const count = (Math.min((bx + 1) * factor, width) - bx * factor) * (end - by * factor)
        out[by * outWidth + bx] = sumView[bx] / count
      }
    }
    return out
  }) as Tile['planes']
  return { rect: { x: x / factor, y: y / factor, width: outWidth, height: outHeight }, planes }
}
