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
  /** Second and third central moments of luminance. */
  moments: [number, number]
  /** Variance of the two colour ratios together. */
  chromaVariance: number
  /**
   * Covariances of neighbouring pixels about their 8 x 8 block's mean: of luminance with itself, with red/green, with
   * blue/green. Noise is not alike in neighbours, and drops out.
   */
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
    moments: moments(logsOfPixels.luminance),
    chromaVariance: variance(logsOfPixels.redness) + variance(logsOfPixels.blueness),
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

function mean(values: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += values[i]
  return sum / values.length
}

/** Second and third central moments. */
function moments(values: ArrayLike<number>): [number, number] {
  const own = mean(values)
  let [squares, cubes] = [0, 0]
  for (let i = 0; i < values.length; i++) {
    const off = values[i] - own
    squares += off * off
    cubes += off * off * off
  }
  return [squares / values.length, cubes / values.length]
}

const variance = (values: ArrayLike<number>) => moments(values)[0]
const spread = (values: Float64Array) => Math.sqrt(variance(values))

function shadingOf({ luminance, redness, blueness }: ReturnType<typeof logPlanes>): [number, number, number] {
  const n = 64
  const [y, r, b] = [luminance, redness, blueness].map((plane, p) => aboutBlocks(plane, ABOUT_BLOCKS[p]))
  const sums: [number, number, number] = [0, 0, 0]
  for (let row = 0; row < n - 1; row++) {
    for (let i = row * n; i < row * n + n - 1; i++) {
      const beside = y[i + 1] + y[i + n]
      sums[0] += 2 * y[i] * beside
      sums[1] += y[i] * (r[i + 1] + r[i + n]) + beside * r[i]
      sums[2] += y[i] * (b[i + 1] + b[i + n]) + beside * b[i]
    }
  }
  return sums
}

/** Room for three planes: thousands of windows are looked at, and memory once taken is not given back soon. */
const ABOUT_BLOCKS = [0, 1, 2].map(() => new Float32Array(64 * 64))

/** A 64 x 64 plane less the mean of each 8 x 8 block, into `out`. */
function aboutBlocks(plane: Float32Array, out: Float32Array): Float32Array {
  const n = 64
  for (let by = 0; by < n; by += BLOCK) {
    for (let bx = 0; bx < n; bx += BLOCK) {
      let sum = 0
      for (let j = by; j < by + BLOCK; j++) for (let i = bx; i < bx + BLOCK; i++) sum += plane[j * n + i]
      const own = sum / (BLOCK * BLOCK)
      for (let j = by; j < by + BLOCK; j++) {
        for (let i = bx; i < bx + BLOCK; i++) out[j * n + i] = plane[j * n + i] - own
      }
    }
  }
  return out
}
