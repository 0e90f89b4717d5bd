import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Tile } from '../../raster/Tile.js'

/** Y of the working space's primaries (ROMM RGB, D50; ISO 22028-2, second row of the matrix to XYZ). */
export const LUMINANCE = [0.2880402, 0.7118741, 0.0000857] as const

/** Added before the logarithm, as a share of the diffuser: keeps black and noise below it finite and still. */
export const LOG_OFFSET = 1 / 512

/**
 * log2(Y + offset) of every pixel of a tile, and the log2 ratios of red and of blue to green.
 */
export function logPlanes(tile: Tile): {
  luminance: Float32Array
  redness: Float32Array
  blueness: Float32Array
} {
  const count = tile.rect.width * tile.rect.height
  const whole = (count + 3) & ~3
  const [r, g, b, y, rg, bg] = scratch(...Array.from({ length: 6 }, () => whole * 4))
  const { memory, logPlanes: kernel } = kernels()
  tile.planes.forEach((plane, c) => {
    new Float32Array(memory.buffer, [r, g, b][c], count).set(plane)
  })
  kernel(r, g, b, y, rg, bg, whole, ...LUMINANCE, LOG_OFFSET, 0, 0)
  const [luminance, redness, blueness] = [y, rg, bg].map((offset) =>
    new Float32Array(memory.buffer, offset, count).slice(),
  )
  return { luminance, redness, blueness }
}

/** log2(Y + offset) of every pixel of a tile. */
export const logLuminance = (tile: Tile): Float32Array => logPlanes(tile).luminance
