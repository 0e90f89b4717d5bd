import { ENLARGING, REDUCING } from './filters.js'

/** How the outputs `from` .. `from + count - 1` along one axis are summed from the input. */
export interface AxisWeights {
  /** Taps an output, a multiple of 4; the last ones may be 0. */
  taps: number
  /** How many of them are not there to fill up. */
  needed: number
  /** Index of each output's first tap; may lie outside the picture. */
  starts: Int32Array
  /** `taps` weights an output, summing to 1. */
  weights: Float32Array
}

/**
 * The resampling weights of a run of outputs along one axis. Each output's depend on its own index alone.
 * @param origin where the output's left edge lies in the input, in pixels; pixel i covers i .. i + 1
 * @param scale input pixels an output pixel; above 1 reduces
 * @param from first output index
 * @param count number of outputs
 */
export function axisWeights(origin: number, scale: number, from: number, count: number): AxisWeights {
  const filter = scale > 1 ? REDUCING : ENLARGING
  const stretch = Math.max(1, scale)
  const reach = filter.reach * stretch
  const needed = Math.floor(2 * reach) + 1
  const taps = (needed + 3) & ~3
  const starts = new Int32Array(count)
  const weights = new Float32Array(count * taps)
  const exact = new Float64Array(needed)
  for (let i = 0; i < count; i++) {
    const centre = origin + (from + i + 0.5) * scale - 0.5
    const start = Math.ceil(centre - reach)
    let sum = 0
    for (let k = 0; k < needed; k++) sum += exact[k] = filter.value((start + k - centre) / stretch)
    for (let k = 0; k < needed; k++) weights[i * taps + k] = exact[k] / sum
    starts[i] = start
  }
  return { taps, needed, starts, weights }
}
