import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Tile } from '../../raster/Tile.js'
import type { SpaceName } from '../spaces/SpaceName.js'
import { workingTo } from '../working.js'
import { encodingTable } from './encodingTable.js'

/** What was cut off at the ends of the range, in samples. */
export interface Clipped {
  clippedLow: number
  clippedHigh: number
}

/**
 * How far below no light a sample must lie to count as cut off. Two matrices in float32 leave up to 4e-7 in a channel
 * that should be nothing, beside one at full strength.
 */
export const LEAST_UNCLIPPED = -1e-6

/** How far above full light: about half a code. */
export const MOST_UNCLIPPED = 1 + 1e-5

/** Pixels at once: what goes in and out stays in the processor's cache. */
const BAND_PIXELS = 16384

/**
 * Encodes working linear light in a standard space: matrix, curve, rounding half up, held inside 0..65535.
 * @param write is handed rows as they come: the first row's number, how many, and their codes, interleaved, good until
 * it returns
 * @returns how many samples were cut off
 */
export function encodePlanes(
  { rect: { width, height }, planes }: Tile,
  name: SpaceName,
  write: (top: number, rows: number, codes: Uint16Array) => void,
): Clipped {
  const { codes, shift, offset, least } = encodingTable(name)
  const rowsAtOnce = Math.max(1, Math.floor(BAND_PIXELS / width))
  const bandBytes = rowsAtOnce * width * 4 + 16
  const [matrix, clipped, table, r, g, b, out] = scratch(
    36,
    8,
    codes.byteLength,
    bandBytes,
    bandBytes,
    bandBytes,
    bandBytes * 1.5,
  )
  const { memory, encodePixels } = kernels()
  const floats = new Float32Array(memory.buffer)
  const words = new Uint16Array(memory.buffer)
  const counts = new Int32Array(memory.buffer, clipped, 2).fill(0)
  floats.set(workingTo(name), matrix / 4)
  floats.set(codes, table / 4)
  for (let top = 0; top < height; top += rowsAtOnce) {
    const rows = Math.min(rowsAtOnce, height - top)
    const count = rows * width
    for (const [c, plane] of [r, g, b].entries()) {
      floats.set(planes[c].subarray(top * width, top * width + count), plane / 4)
      floats.fill(0, plane / 4 + count, plane / 4 + ((count + 3) & ~3))
    }
    // biome-ignore format: planes, table, what counts as cut off, results
    encodePixels(
      r, g, b, (count + 3) & ~3, matrix,
      table, shift, offset, codes.length - 2, least, LEAST_UNCLIPPED, MOST_UNCLIPPED,
      out, clipped,
    )
    write(top, rows, words.subarray(out / 2, out / 2 + count * 3))
  }
  return { clippedLow: counts[0], clippedHigh: counts[1] }
}
