import { fft2d } from '../../raster/fft/fft2d.js'
import type { WindowSize } from '../../raster/fft/powerSpectrum.js'
import { sineWindow } from '../../raster/fft/sineWindow.js'

/**
 * The autocovariance that a power spectrum under the sine window stands for: the power is the transform of the
 * autocovariance times the window's own.
 * @param power `n * n`
 * @returns a function of whole lags down and across; 0 beyond half a window, where the estimate is too weak to use
 */
export function autocovariance(power: Float32Array, n: WindowSize): (down: number, across: number) => number {
  const re = Float32Array.from(power)
  fft2d(re, new Float32Array(n * n), n)
  const own = windowCorrelation(n)
  const half = n / 2
  return (y, x) => {
    if (Math.abs(y) > half || Math.abs(x) > half) return 0
    const value = re[((y + n) % n) * n + ((x + n) % n)] / (n * n)
    return value / (own[Math.abs(y)] * own[Math.abs(x)])
  }
}

/** Sum over i of w(i) w(i + lag) of the sine window, lag = 0..n. */
export function windowCorrelation(n: WindowSize): Float64Array {
  const w = sineWindow(n)
  return Float64Array.from({ length: n + 1 }, (_, lag) => {
    let sum = 0
    for (let i = 0; i + lag < n; i++) sum += w[i] * w[i + lag]
    return sum
  })
}
