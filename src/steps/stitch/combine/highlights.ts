import type { Glints } from './ReliefModel.js'

/** Slopes below this show no highlight, and none beyond this is looked for. */
const LEAST_SLOPE = 0.1
const MOST_SLOPE = 0.7
const STEPS = 60

/**
 * What of the lit side's light is a highlight: the least slope is taken at which shading and highlight together give the
 * light seen, as small slopes are far more frequent; what shading does not explain there is the highlight.
 * @param a, b light of the two lightings
 * @param across slopes across the lamp; undefined where they are not concluded
 * @returns what is to be taken off: from a where positive, from b where negative
 */
export function highlights(
  a: Float32Array,
  b: Float32Array,
  across: Float32Array | undefined,
  { peak, slope, width }: Glints,
): Float32Array {
  const out = new Float32Array(a.length)
  const step = (MOST_SLOPE - LEAST_SLOPE) / STEPS
  const shaded = Float64Array.from({ length: STEPS + 1 }, (_, k) => {
    const s = LEAST_SLOPE + k * step
    return (1 + s) / (1 - s)
  })
  const shine = Float64Array.from(
    shaded,
    (_, k) => peak * Math.exp(-((LEAST_SLOPE + k * step - slope) ** 2) / (2 * width * width)),
  )
  for (let i = 0; i < out.length; i++) {
    const [low, high] = a[i] < b[i] ? [a[i], b[i]] : [b[i], a[i]]
    if (high - low < LEAST_SLOPE * (high + low)) continue
    const t = across ? across[i] : 0
    const lobe = Math.exp(-(t * t) / (2 * width * width))
    let k = 0
    let excess = low * shaded[0] + lobe * shine[0] - high
    if (excess >= 0) continue
    while (k < STEPS && excess < 0) {
      k++
      const next = low * shaded[k] + lobe * shine[k] - high
      if (next >= 0 || k === STEPS) {
        // Between the two slopes the way is as good as straight.
        const share = next >= 0 ? excess / (excess - next) : 1
        const s = LEAST_SLOPE + (k - 1 + share) * step
        const highlight = Math.max(0, high - (low * (1 + s)) / (1 - s))
        out[i] = a[i] < b[i] ? -highlight : highlight
      }
      excess = next
    }
  }
  return out
}
