import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Tile } from '../../raster/Tile.js'

/** Y of the working space's primaries (ROMM RGB, D50; ISO 22028-2, second row of the matrix to XYZ). */
export const LUMINANCE = [0.2880402, 0.7118741, 0.0000857] as const

/** Added before the logarithm, as a share of the diffuser: keeps black and noise below it finite and still. */
export const LOG_OFFSET = 1 / 512

/** log2(Y + offset) of every pixel of a tile. */
export function logLuminance(tile: Tile): Float32Array {
  const count = tile.rect.width * tile.rect.height
  const whole = (count + 3) & ~3
  const [r, g, b, y, rg, bg] = scratch(...Array.from({ length: 6 }, () => whole * 4))
  const { memory, logPlanes } = kernels()
  tile.planes.forEach((plane, c) => {
    new Float32Array(memory.buffer, [r, g, b][c], count).set(plane)
  })
  logPlanes(r, g, b, y, rg, bg, whole, ...LUMINANCE, LOG_OFFSET)
  return new Float32Array(memory.buffer, y, count).slice()
}
