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
 * @param write is handed rows as they come: the row's number and its codes, interleaved, good until it returns
 * @param phaseOf where a row will be copied to, as words beyond a multiple of four: shared memory is copied by words only
 * where both sides stand alike, else by bytes, far slower
 * @returns how many samples were cut off
 */
export function encodePlanes(
  { rect: { width, height }, planes }: Tile,
  name: SpaceName,
  write: (row: number, codes: Uint16Array) => void,
  phaseOf: (row: number) => number = () => 0,
): Clipped {
  const { codes, shift, offset, least } = encodingTable(name)
  const rowsAtOnce = Math.max(1, Math.floor(BAND_PIXELS / width))
  // Rows are filled up to whole groups of four pixels by no light, which is never cut off.
  const stride = (width + 3) & ~3
  const bandBytes = rowsAtOnce * stride * 4
  const [matrix, clipped, table, r, g, b, out] = scratch(
    ...[36, 8, codes.byteLength],
    ...[bandBytes, bandBytes, bandBytes],
    stride * 6 + 16,
  )
  const { memory, encodePixels } = kernels()
  const floats = new Float32Array(memory.buffer)
  const words = new Uint16Array(memory.buffer)
  const counts = new Int32Array(memory.buffer, clipped, 2).fill(0)
  floats.set(workingTo(name), matrix / 4)
  floats.set(codes, table / 4)
  for (let top = 0; top < height; top += rowsAtOnce) {
    const rows = Math.min(rowsAtOnce, height - top)
    for (const [c, plane] of [r, g, b].entries()) bringRows(planes[c], top, rows, width, floats, plane / 4)
    for (let row = 0; row < rows; row++) {
      const at = row * stride * 4
      const to = out + (phaseOf(top + row) & 3) * 2
      // biome-ignore format: planes, table, what counts as cut off, results
      encodePixels(
        r + at, g + at, b + at, stride, matrix,
        table, shift, offset, codes.length - 2, least, LEAST_UNCLIPPED, MOST_UNCLIPPED,
        to, clipped,
      )
      write(top + row, words.subarray(to / 2, to / 2 + width * 3))
    }
  }
  return { clippedLow: counts[0], clippedHigh: counts[1] }
}

/** Rows of a plane into kernel memory, each filled up with zeros to a multiple of four. */
function bringRows(
  plane: Float32Array,
  top: number,
  rows: number,
  width: number,
  floats: Float32Array,
  to: number,
): void {
  const stride = (width + 3) & ~3
  if (stride === width) {
    floats.set(plane.subarray(top * width, (top + rows) * width), to)
    return
  }
  for (let row = 0; row < rows; row++) {
    const from = (top + row) * width
    floats.set(plane.subarray(from, from + width), to + row * stride)
    floats.fill(0, to + row * stride + width, to + (row + 1) * stride)
  }
}
