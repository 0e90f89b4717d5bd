import type { Source } from '../../../src/raster/Source.js'
import { drawn } from '../../raster/resample/drawn.js'

/** Tangent of the edge's angle to the vertical: about 5.7 degrees. */
const SLOPE = 0.1

/** A master with a slanted edge, each pixel averaged over its square as an ideal capture would. */
export function edgeMaster(width: number, height: number, dark: number, light: number): Source {
  const n = 16
  return drawn(width, height, (x, y) => {
    let covered = 0
    for (let j = 0; j < n; j++) {
      const edgeX = width / 2 + (y + (j + 0.5) / n - height / 2) * SLOPE
      covered += Math.min(1, Math.max(0, x + 1 - edgeX))
    }
    return dark + ((light - dark) * covered) / n
  })
}

/**
 * The edge's profile across it, and its modulation transfer, by the slanted-edge method of ISO 12233: pixels are
 * sorted by their distance from the edge into bins of a quarter pixel, the profile is differentiated and transformed;
 * the effect of the bins and of the differences is divided out.
 * @param plane linear light
 * @returns profile as (distance in pixels, value); transfer at a frequency in cycles a pixel, across the edge
 */
export function measureEdge(plane: Float32Array, width: number, height: number) {
  const BIN = 0.25
  const cos = 1 / Math.hypot(1, SLOPE)
  const reach = Math.floor((width / 2 - (height / 2) * SLOPE - 2) * cos)
  const bins = Math.round((2 * reach) / BIN)
  const sums = new Float64Array(bins)
  const counts = new Float64Array(bins)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const distance = (x + 0.5 - width / 2 - (y + 0.5 - height / 2) * SLOPE) * cos
      const bin = Math.floor((distance + reach) / BIN)
      if (bin < 0 || bin >= bins) continue
      sums[bin] += plane[y * width + x]
      counts[bin]++
    }
  }
  const profile = Array.from(sums, (sum, i): [number, number] => [(i + 0.5) * BIN - reach, sum / counts[i]])
  const spread = profile.slice(1).map(([d, v], i): [number, number] => [d - BIN / 2, v - profile[i][1]])
  const total = spread.reduce((a, [, v]) => a + v, 0)
  const sinc = (x: number) => (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x))
  const transfer = (f: number) => {
    let re = 0
    let im = 0
    for (const [d, v] of spread) {
      re += v * Math.cos(2 * Math.PI * f * d)
      im += v * Math.sin(2 * Math.PI * f * d)
    }
    return Math.hypot(re, im) / Math.abs(total) / sinc(f * BIN) ** 2
  }
  return { profile, transfer }
}
