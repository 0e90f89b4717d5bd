import { kernels, scratch } from '../kernels/kernels.js'
import { sineWindow } from './sineWindow.js'

/** Sizes the kernel knows. */
export type WindowSize = 16 | 32 | 64 | 128

/**
 * The power of a square window's spectrum, |FFT(w (x - mean))|^2 with the sine window w in both directions and the mean
 * weighted by w.
 * @param samples `n * n` values, row by row
 * @returns `n * n` powers, frequency k at `ky * n + kx`, negative frequencies from the far end
 */
export function powerSpectrum(samples: Float32Array, n: WindowSize): Float32Array {
  const stride = n + 4
  const bytes = n * stride * 4
  const [re, im, a, b] = scratch(bytes, bytes, bytes, bytes)
  const { memory, fft2d } = kernels()
  const real = new Float32Array(memory.buffer, re, n * stride)
  const imaginary = new Float32Array(memory.buffer, im, n * stride)
  const window = sineWindow(n)
  let sum = 0
  let weights = 0
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const w = window[y] * window[x]
      sum += w * samples[y * n + x]
      weights += w
    }
  }
  const mean = sum / weights
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      real[y * stride + x] = window[y] * window[x] * (samples[y * n + x] - mean)
      imaginary[y * stride + x] = 0
    }
  }
  fft2d(re, im, a, b, n, stride * 4)
  const power = new Float32Array(n * n)
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) power[y * n + x] = real[y * stride + x] ** 2 + imaginary[y * stride + x] ** 2
  }
  return power
}
