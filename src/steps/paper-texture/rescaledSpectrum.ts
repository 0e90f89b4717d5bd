import { fft2d } from '../../raster/fft/fft2d.js'
import type { WindowSize } from '../../raster/fft/powerSpectrum.js'
import { sineWindow } from '../../raster/fft/sineWindow.js'

/**
 * The power that windows of `m` pixels would show at another resolution. The power under a window is the transform of
 * the relief's autocovariance times the window's own; so the autocovariance is recovered at lags up to n/2, read at the
 * new spacing, and transformed again.
 * @param power `n * n`, under the sine window
 * @param scale new resolution / old resolution
 * @returns `m * m`, never negative
 */
export function rescaledSpectrum(
  power: Float32Array,
  n: WindowSize,
  m: WindowSize,
  scale: number,
): Float32Array {
  const re = Float32Array.from(power)
  const im = new Float32Array(n * n)
  fft2d(re, im, n)
  const own = windowCorrelation(n)
  const half = n / 2
  // Autocovariance at whole lags; beyond half a window the estimate is too weak to use and taken as none.
  const covariance = (y: number, x: number) => {
    if (Math.abs(y) > half || Math.abs(x) > half) return 0
    const value = re[((y + n) % n) * n + ((x + n) % n)] / (n * n)
    return value / (own[Math.abs(y)] * own[Math.abs(x)])
  }
  const between = (y: number, x: number) => {
    const y0 = Math.floor(y)
    const x0 = Math.floor(x)
    const fy = y - y0
    const fx = x - x0
    const top = covariance(y0, x0) * (1 - fx) + (fx ? covariance(y0, x0 + 1) * fx : 0)
    if (!fy) return top
    const bottom = covariance(y0 + 1, x0) * (1 - fx) + (fx ? covariance(y0 + 1, x0 + 1) * fx : 0)
    return top * (1 - fy) + bottom * fy
  }
  const target = windowCorrelation(m)
  const outRe = new Float32Array(m * m)
  const outIm = new Float32Array(m * m)
  // Lags up to m - 1 both ways, folded onto the m x m grid.
  for (let y = 1 - m; y < m; y++) {
    for (let x = 1 - m; x < m; x++) {
      const value = between(y / scale, x / scale) * target[Math.abs(y)] * target[Math.abs(x)]
      outRe[((y + m) % m) * m + ((x + m) % m)] += value
    }
  }
  fft2d(outRe, outIm, m)
  return outRe.map((value) => Math.max(value, 0))
}

/** Sum over i of w(i) w(i + lag), lag = 0..n. */
function windowCorrelation(n: WindowSize): Float64Array {
  const w = sineWindow(n)
  return Float64Array.from({ length: n + 1 }, (_, lag) => {
    let sum = 0
    for (let i = 0; i + lag < n; i++) sum += w[i] * w[i + lag]
    return sum
  })
}
