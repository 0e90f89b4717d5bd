import type { Tile } from '../../../raster/Tile.js'
import { cosineWindows } from './cosineWindows.js'
import { FINE_COUNT, FINE_PX, type FineDetail } from './FineDetail.js'
import { lightOf } from './slopes.js'

/** Pixels between windows, so that each counts once. */
const STEP = FINE_PX
const LEAST_LIGHT = 0.004
/** Slopes beyond this may be highlights, which change the colours. */
const STEEP = 0.15
/** So many windows must be left. */
const FEWEST = 60
/** Median of the square of a normal deviate. */
const MEDIAN_SQUARE = 0.4549
/** A window whose power is so many times what was expected shows more than noise. */
const ODD = 3
/** Rounds of fitting the law and its spectrum to each other. */
const ROUNDS = 3

/**
 * The noise of a pair's captures, from the logarithms of its colour ratios: relief and paint leave them alike in both, so
 * what they differ by is noise, of both channels and both captures. Its power follows the light as read-out and photon
 * noise do; medians leave out edges and what does not lie quite on itself.
 * @param windows both lightings' light, square
 * @returns see FineDetail; undefined where there is too little to learn from, or no noise
 */
export function fitNoise(
  windows: readonly (readonly [Tile['planes'], Tile['planes']])[],
): Pick<FineDetail, 'readout' | 'photon' | 'noise'> | undefined {
  const samples = windows.flatMap(([a, b]) => samplesOf(a, b))
  // Half of them, those that show least picture.
  samples.sort((p, q) => p.picture - q.picture)
  samples.length = Math.ceil(samples.length / 2)
  if (samples.length < FEWEST) return undefined
  let noise = new Array<number>(FINE_COUNT).fill(1)
  let law: [number, number] = [0, 1]
  for (let round = 0; round < ROUNDS; round++) {
    const expected = samples.map(({ inverse, squares }) => law[0] * squares + law[1] * inverse)
    noise = noise.map((_, u) => {
      const ratios = Float64Array.from(samples, ({ powers }, i) => powers[u] / expected[i]).sort()
      return ratios[ratios.length >> 1] / MEDIAN_SQUARE
    })
    const mean = noise.slice(1).reduce((sum, value) => sum + value, 0) / (FINE_COUNT - 1)
    if (!(mean > 0)) return undefined
    noise = noise.map((value) => value / mean)
    const levels = samples.map(({ powers }) => {
      let sum = 0
      for (let u = 1; u < FINE_COUNT; u++) sum += powers[u] / Math.max(noise[u], 1e-3)
      return sum / (FINE_COUNT - 1)
    })
    law = fitLaw(samples, levels, [law[0] * mean, law[1] * mean])
  }
  // Four times the variance of the root over light is that of the logarithm; two captures, of which the mean has half.
  const [readout, photon] = [law[0] / 16, law[1] / 16]
  return readout + photon > 1e-12 ? { readout, photon, noise } : undefined
}

interface Sample {
  /** Of one colour ratio's difference, by coefficient. */
  powers: Float32Array
  /** Sums of 1 / light and of its square over the ratio's two channels. */
  inverse: number
  squares: number
  picture: number
}

function samplesOf(a: Tile['planes'], b: Tile['planes']): Sample[] {
  const side = Math.round(Math.sqrt(a[0].length))
  const log = (planes: Tile['planes']) =>
    planes.map((plane) => plane.map((value) => Math.log(Math.max(value, 1e-4))))
  const [logA, logB] = [log(a), log(b)]
  const [lightA, lightB] = [lightOf(a), lightOf(b)]
  const light = cosineWindows(
    lightA.map((value, i) => Math.log(value + lightB[i])),
    side,
    STEP,
  )
  const ratios = [0, 2].map((c) =>
    cosineWindows(
      logA[c].map((value, i) => value - logA[1][i] - logB[c][i] + logB[1][i]),
      side,
      STEP,
    ),
  )
  const samples: Sample[] = []
  const across = Math.floor((side - FINE_PX) / STEP) + 1
  for (let k = 0; k < across * across; k++) {
    const corner = Math.floor(k / across) * STEP * side + (k % across) * STEP
    const sums = [0, 0, 0]
    let steepest = 0
    for (let j = 0; j < FINE_PX; j++) {
      for (let i = corner + j * side; i < corner + j * side + FINE_PX; i++) {
        for (let c = 0; c < 3; c++) sums[c] += (a[c][i] + b[c][i]) / (2 * FINE_COUNT)
        steepest = Math.max(steepest, Math.abs(lightA[i] - lightB[i]) / (lightA[i] + lightB[i]))
      }
    }
    if (steepest > STEEP || Math.min(...sums) < LEAST_LIGHT) continue
    let picture = 0
    for (let u = 1; u < FINE_COUNT; u++) picture += light[k * FINE_COUNT + u] ** 2
    for (const [r, c] of [0, 2].entries()) {
      samples.push({
        powers: ratios[r].slice(k * FINE_COUNT, (k + 1) * FINE_COUNT).map((value) => value * value),
        inverse: 1 / sums[c] + 1 / sums[1],
        squares: 1 / sums[c] ** 2 + 1 / sums[1] ** 2,
        picture,
      })
    }
  }
  return samples
}

/** Weighted least squares of windows' levels, neither part below 0; odd windows are left out. */
function fitLaw(
  samples: readonly Sample[],
  levels: readonly number[],
  start: [number, number],
): [number, number] {
  let law = start
  for (let round = 0; round < 4; round++) {
    let [ss, si, ii, sy, iy] = [0, 0, 0, 0, 0]
    for (const [k, { squares, inverse }] of samples.entries()) {
      const expected = law[0] * squares + law[1] * inverse
      if (levels[k] > ODD * expected) continue
      const weight = 1 / (expected * expected)
      ss += weight * squares * squares
      si += weight * squares * inverse
      ii += weight * inverse * inverse
      sy += weight * squares * levels[k]
      iy += weight * inverse * levels[k]
    }
    const determinant = ss * ii - si * si
    if (!(determinant > 0)) return law
    const both: [number, number] = [(ii * sy - si * iy) / determinant, (ss * iy - si * sy) / determinant]
    law = both[0] < 0 ? [0, iy / ii] : both[1] < 0 ? [sy / ss, 0] : both
  }
  return law
}
