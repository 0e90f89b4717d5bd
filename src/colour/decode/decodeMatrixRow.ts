import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'

const { fround } = Math

/**
 * Decodes interleaved pixels by a curve for each channel and a matrix, rounding after every operation as float32
 * arithmetic does: the same bits as the kernel's `decodePixels`.
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
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = matrix.map(fround)
  const [outR, outG, outB] = planes
  const end = to + count
  for (let i = to, s = from; i < end; i++, s += 3) {
    const r = curveR[data[s]]
    const g = curveG[data[s + 1]]
    const b = curveB[data[s + 2]]
    outR[i] = fround(fround(m0 * r) + fround(m1 * g)) + fround(m2 * b)
    outG[i] = fround(fround(m3 * r) + fround(m4 * g)) + fround(m5 * b)
    outB[i] = fround(fround(m6 * r) + fround(m7 * g)) + fround(m8 * b)
  }
}
