import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'

/**
 * Decodes interleaved pixels by a curve for each channel and a matrix. Plain TypeScript: the table look-ups are what
 * takes the time, and SIMD has none; copying into a kernel's memory would cost more than its arithmetic saves.
 * @param data encoded samples, interleaved RGB
 * @param from index of the first sample
 * @param planes where linear light is written, from index `to` on
 * @param count how many pixels
 */
export function decodeMatrixRow(
  data: Uint16Array,
  from: number,
  { curves, matrix }: InputTransform & { kind: 'matrix' },
  planes: Tile['planes'],
  to: number,
  count: number,
): void {
  const [curveR, curveG, curveB] = curves
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = matrix
  const [outR, outG, outB] = planes
  const end = to + count
  for (let i = to, s = from; i < end; i++, s += 3) {
    const r = curveR[data[s]]
    const g = curveG[data[s + 1]]
    const b = curveB[data[s + 2]]
    outR[i] = m0 * r + m1 * g + m2 * b
    outG[i] = m3 * r + m4 * g + m5 * b
    outB[i] = m6 * r + m7 * g + m8 * b
  }
}
