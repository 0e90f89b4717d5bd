import { kernels, scratch } from '../kernels/kernels.js'
import type { WindowSize } from './powerSpectrum.js'

/** Sizes the kernel transforms. */
export type TransformSize = WindowSize | 256 | 512

/**
 * Forward Fourier transform of n x n complex numbers, exp(-2 pi i (ux + vy) / n), not scaled. The inverse is the same
 * call with the parts exchanged, divided by n^2.
 * @param re, im `n * n` values each, row by row; overwritten
 */
export function fft2d(re: Float32Array, im: Float32Array, n: TransformSize): void {
  const stride = n + 4
  const bytes = n * stride * 4
  const offsets = scratch(bytes, bytes, bytes, bytes)
  const { memory, fft2d: transform } = kernels()
  const planes = [re, im].map((part, i) => {
    const plane = new Float32Array(memory.buffer, offsets[i], n * stride)
    for (let y = 0; y < n; y++) plane.set(part.subarray(y * n, (y + 1) * n), y * stride)
    return plane
  })
  transform(offsets[0], offsets[1], offsets[2], offsets[3], n, stride * 4)
  for (let y = 0; y < n; y++) {
    re.set(planes[0].subarray(y * stride, y * stride + n), y * n)
    im.set(planes[1].subarray(y * stride, y * stride + n), y * n)
  }
}
