import type { Tile } from '../../raster/Tile.js'
import type { Matrix3 } from '../matrix3.js'
import type { EncodingTable } from './encodingTable.js'

/** What was cut off at the ends of the range, in samples. */
export interface Clipped {
  clippedLow: number
  clippedHigh: number
}

/**
 * How far below no light a sample must lie to count as cut off. Two matrices in float32 leave up to 4e-7 in a channel
 * that should be nothing, beside one at full strength.
 */
export const LEAST_CLIPPED = -1e-6

/** How far above full light: more than half a code of the steepest curve. */
export const MOST_UNCLIPPED = 1 + 1e-5

const float = new Float32Array(3)
const bits = new Int32Array(float.buffer)

/**
 * Linear light to 16-bit codes: matrix, curve, rounding half up, held inside 0..65535. Adds to `clipped`.
 * @param planes linear light, read from index `from`
 * @param matrix to the space's linear RGB
 * @param data interleaved RGB, written from sample `to` on
 * @param count how many pixels
 */
export function encodeRow(
  planes: Tile['planes'],
  from: number,
  matrix: Matrix3,
  { codes, shift, offset, least }: EncodingTable,
  data: Uint16Array,
  to: number,
  count: number,
  clipped: Clipped,
): void {
  const [inR, inG, inB] = planes
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = matrix
  const mask = (1 << shift) - 1
  const perStep = 1 / (1 << shift)
  for (let i = from, end = from + count, s = to; i < end; i++, s += 3) {
    const r = inR[i]
    const g = inG[i]
    const b = inB[i]
    float[0] = m0 * r + m1 * g + m2 * b
    float[1] = m3 * r + m4 * g + m5 * b
    float[2] = m6 * r + m7 * g + m8 * b
    for (let c = 0; c < 3; c++) {
      const light = float[c]
      if (light >= 1) {
        data[s + c] = 65535
        if (light > MOST_UNCLIPPED) clipped.clippedHigh++
      } else if (light >= least) {
        const word = bits[c]
        const index = (word >> shift) - offset
        const low = codes[index]
        data[s + c] = low + (codes[index + 1] - low) * ((word & mask) * perStep) + 0.5
      } else {
        data[s + c] = 0
        // Written so that what is no number counts as cut off.
        if (!(light >= LEAST_CLIPPED)) clipped.clippedLow++
      }
    }
  }
}
