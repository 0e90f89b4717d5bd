import { scaleOf } from '../Placement.js'
import { type Adjustment, adjust } from './adjust.js'
import type { Match } from './measurePair.js'
import { FLATBED, FLATBED_OF_ONE_SCALE } from './models/flatbed.js'

/**
 * Adjusts flatbed captures at one scale, or each at its own where the windows ask for it clearly: freedom that nothing needs
 * would only follow their noise.
 * Source of the measure: G. Schwarz, "Estimating the dimension of a model", Annals of Statistics 6(2), 1978, pp. 461-464,
 * doi:10.1214/aos/1176344136 (from memory): 2n ln(rms / rms with scales) against one ln(2n) a capture.
 * @returns also how far the scales would differ, as a standard deviation of the logarithm
 */
export function adjustFlatbed(
  start: readonly (readonly number[] | undefined)[],
  matches: readonly Match[],
): Adjustment & { scaleSpread: { sigma: number; captures: number } } {
  const plain = adjust(start, matches, FLATBED_OF_ONE_SCALE)
  const free = adjust(start, matches, FLATBED)
  const measurements = 2 * matches.length
  const captures = start.filter((own) => own !== undefined).length
  // All of them: what one scale makes an outlier of is what speaks for another.
  const gained = measurements * Math.log(size(plain) / size(free))
  const chosen = gained > captures * Math.log(Math.max(measurements, 2)) ? free : plain
  // What the windows say of the scales, also where it is too little to follow.
  const logs = free.placements.filter((placement) => placement !== undefined).map((p) => Math.log(scaleOf(p)))
  const mean = logs.reduce((sum, value) => sum + value, 0) / captures
  const sigma = Math.sqrt(
    logs.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, captures - 1),
  )
  return { ...chosen, scaleSpread: { sigma, captures } }
}

/** Root mean square disagreement with no window left out, no window counting beyond three times the median. */
function size({ residuals }: Adjustment): number {
  const sizes = residuals.map(({ x, y, uniform: [xx, xy, yy] }) =>
    Math.sqrt(Math.max(0, xx * x * x + 2 * xy * x * y + yy * y * y)),
  )
  const median = sizes.toSorted((a, b) => a - b)[sizes.length >> 1] ?? 0
  const sum = sizes.reduce((total, value) => total + Math.min(value, 3 * median) ** 2, 0)
  return Math.sqrt(sum / Math.max(1, sizes.length)) + 1e-6
}
