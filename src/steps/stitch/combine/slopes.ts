import { fft2d } from '../../../raster/fft/fft2d.js'
import type { WindowSize } from '../../../raster/fft/powerSpectrum.js'

/** Weights of the channels in what light is compared by; no channel's noise decides alone. */
export const LIGHT = [0.3, 0.6, 0.1] as const
/** Light below this counts as this much in ratios. */
export const LEAST_LIGHT = 0.001
/** Slopes beyond this are highlights as often as slopes: they say no more of their surroundings than this. */
const STEEPEST = 0.25
/** Damping of slopes across the lamp where the lamp shows next to nothing of them, a share of the frequency. */
const DAMPING = 0.1

export function lightOf([r, g, b]: readonly Float32Array[]): Float32Array {
  const out = new Float32Array(r.length)
  const [wr, wg, wb] = LIGHT
  for (let i = 0; i < out.length; i++) {
    out[i] = Math.max(LEAST_LIGHT, wr * r[i] + wg * g[i] + wb * b[i])
  }
  return out
}

/** The slope along the lamp as light shows it: (a - b) / (a + b). Paint multiplies both and falls out. */
export function slopesAlong(a: Float32Array, b: Float32Array): Float32Array {
  const out = new Float32Array(a.length)
  for (let i = 0; i < out.length; i++) out[i] = (a[i] - b[i]) / (a[i] + b[i])
  return out
}

/**
 * By what a window's spectrum of slopes along the lamp is multiplied to give slopes across it: both are derivatives of one
 * surface. Frequencies the lamp runs along show no slope, and are damped.
 * @param axisDeg the lamp's direction
 * Source: A. P. Pentland, "Linear shape from shading", Int. J. Computer Vision 4, 1990, pp. 153-162 (the linear relation
 * of slopes and surface in the frequency domain; from memory).
 */
export function crosswiseGain(n: WindowSize, axisDeg: number): Float32Array {
  const angle = (axisDeg * Math.PI) / 180
  const [lx, ly] = [Math.cos(angle), Math.sin(angle)]
  const gain = new Float32Array(n * n)
  for (let y = 0; y < n; y++) {
    const ky = y < n / 2 ? y : y - n
    for (let x = 0; x < n; x++) {
      const kx = x < n / 2 ? x : x - n
      // Half the sampling rate has no sign, so no direction.
      if (2 * x === n || 2 * y === n || (x === 0 && y === 0)) continue
      const along = kx * lx + ky * ly
      const across = ky * lx - kx * ly
      gain[y * n + x] = (along * across) / (along * along + DAMPING * DAMPING * (kx * kx + ky * ky))
    }
  }
  return gain
}

/**
 * Slopes across the lamp in one window or two side by side, weighed by `window` on both sides.
 * @param re, im slopes along the lamp, `n * n` each; overwritten with the result
 */
export function crosswiseWindows(
  re: Float32Array,
  im: Float32Array,
  n: WindowSize,
  window: Float32Array,
  gain: Float32Array,
): void {
  for (let y = 0, i = 0; y < n; y++) {
    for (let x = 0; x < n; x++, i++) {
      const w = window[y] * window[x]
      re[i] = w * Math.min(Math.max(re[i], -STEEPEST), STEEPEST)
      im[i] = w * Math.min(Math.max(im[i], -STEEPEST), STEEPEST)
    }
  }
  fft2d(re, im, n)
  for (let i = 0; i < gain.length; i++) {
    re[i] *= gain[i]
    im[i] *= gain[i]
  }
  // Parts exchanged: the inverse.
  fft2d(im, re, n)
  for (let y = 0, i = 0; y < n; y++) {
    for (let x = 0; x < n; x++, i++) {
      const w = (window[y] * window[x]) / (n * n)
      re[i] *= w
      im[i] *= w
    }
  }
}
