import { fft2d } from '../../raster/fft/fft2d.js'
import type { WindowSize } from '../../raster/fft/powerSpectrum.js'
import { autocovariance, windowCorrelation } from './autocovariance.js'

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
  const covariance = autocovariance(power, n)
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
