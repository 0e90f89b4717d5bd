import { powerSpectrum } from '../../raster/fft/powerSpectrum.js'
import type { Rect } from '../../raster/Rect.js'
import type { Tile } from '../../raster/Tile.js'
import { logPlanes } from './logLuminance.js'

/** What one 64 x 64 window looks like. Logarithms to base 2. */
export interface WindowFacts {
  rect: Rect
  /** Mean luminance, and mean red and blue against green. */
  tone: number
  chroma: [number, number]
  /** RMS of 8 x 8 block means about the window's mean: of luminance, and of the two colour ratios together. */
  toneSpread: number
  chromaSpread: number
  /** Share of pixels at the upper end of the scale. */
  clipped: number
  /** Variance outside the lowest frequencies. */
  variance: number
  power: Float32Array
  /** Covariances of pixels about their 8 x 8 block's mean: of luminance with itself, with red/green, with blue/green. */
  shading: [number, number, number]
}

const BLOCK = 8
/** Encoded full scale less one step of 8 bits. */
const FULL = 0.99
const FLOOR = 1 / 4096

/** Measures one window. */
export function windowFacts(tile: Tile): WindowFacts {
  const n = 64
  const blocks = n / BLOCK
  const sums = tile.planes.map(() => new Float64Array(blocks * blocks))
  let clipped = 0
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const i = y * n + x
      const block = (y >> 3) * blocks + (x >> 3)
      const r = tile.planes[0][i]
      const g = tile.planes[1][i]
      const b = tile.planes[2][i]
      sums[0][block] += r
      sums[1][block] += g
      sums[2][block] += b
      if (r >= FULL && g >= FULL && b >= FULL) clipped++
    }
  }
  const logs = sums.map((sum) => sum.map((s) => Math.log2(Math.max(s / (BLOCK * BLOCK), 0) + FLOOR)))
  const tones = logs[1]
  const reds = logs[0].map((v, i) => v - logs[1][i])
  const blues = logs[2].map((v, i) => v - logs[1][i])
  const logsOfPixels = logPlanes(tile)
  const power = powerSpectrum(logsOfPixels.luminance, 64)
  return {
    rect: tile.rect,
    tone: mean(tones),
    chroma: [mean(reds), mean(blues)],
    toneSpread: spread(tones),
    chromaSpread: Math.hypot(spread(reds), spread(blues)),
    clipped: clipped / (n * n),
    variance: varianceOf(power, 64),
    power,
    shading: shadingOf(logsOfPixels),
  }
}

/** Variance that a power spectrum under the sine window stands for, without the lowest frequencies (within 1.5 of 0). */
export function varianceOf(power: ArrayLike<number>, n: number): number {
  let sum = 0
  for (let y = 0; y < n; y++) {
    const ky = Math.min(y, n - y)
    for (let x = 0; x < n; x++) {
      const kx = Math.min(x, n - x)
      if (kx * kx + ky * ky > 2.25) sum += power[y * n + x]
    }
  }
  // Parseval: the sum over k is n^2 times the sum of (w x)^2, and the sum of w^2 is (n / 2)^2.
  return sum / (n * n * (n / 2) ** 2)
}

const mean = (values: Float64Array) => values.reduce((a, b) => a + b, 0) / values.length
const spread = (values: Float64Array) => {
  const m = mean(values)
  return Math.sqrt(values.reduce((a, b) => a + (b - m) ** 2, 0) / values.length)
}

function shadingOf({ luminance, redness, blueness }: ReturnType<typeof logPlanes>): [number, number, number] {
  const n = 64
  const sums: [number, number, number] = [0, 0, 0]
  for (let by = 0; by < n; by += BLOCK) {
    for (let bx = 0; bx < n; bx += BLOCK) {
      let [y, r, b, yy, yr, yb] = [0, 0, 0, 0, 0, 0]
      for (let j = by; j < by + BLOCK; j++) {
        for (let i = j * n + bx; i < j * n + bx + BLOCK; i++) {
          y += luminance[i]
          r += redness[i]
          b += blueness[i]
          yy += luminance[i] * luminance[i]
          yr += luminance[i] * redness[i]
          yb += luminance[i] * blueness[i]
        }
      }
      const pixels = BLOCK * BLOCK
      sums[0] += yy - (y * y) / pixels
      sums[1] += yr - (y * r) / pixels
      sums[2] += yb - (y * b) / pixels
    }
  }
  return sums
}
