import { kernels, scratch } from '../../../raster/kernels/kernels.js'
import { FINE_COUNT, FINE_PX } from './FineDetail.js'

/**
 * Orthonormal cosine transforms (DCT-II) of a square plane's windows of 8 x 8 pixels, each transposed: the coefficient of
 * `u` half waves across and `v` down lies at `u * 8 + v`.
 * @param plane `side * side`
 * @param step pixels between windows
 * @returns one window after the other, 64 numbers each
 * Source: N. Ahmed, T. Natarajan, K. R. Rao, "Discrete cosine transform", IEEE Trans. Computers C-23(1), 1974, pp. 90-93,
 * doi:10.1109/T-C.1974.223784 (the transform; from memory).
 */
export function cosineWindows(plane: Float32Array, side: number, step: number): Float32Array {
  const count = Math.floor((side - FINE_PX) / step) + 1
  const rowBytes = count * FINE_COUNT * 4
  const [from, out] = scratch(plane.byteLength, count * rowBytes)
  const { memory, cosineWindows: transform } = kernels()
  new Float32Array(memory.buffer, from, plane.length).set(plane)
  for (let j = 0; j < count; j++) {
    transform(from + 4 * j * step * side, 4 * side, count, step, out + j * rowBytes)
  }
  return new Float32Array(memory.buffer, out, count * count * FINE_COUNT).slice()
}
