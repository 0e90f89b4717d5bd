import type { ChannelTone } from './Fit.js'
import { leastSquares } from './leastSquares.js'
import { leastSlope, toLight } from './toLight.js'

/** What a tone may hold, simplest first: nothing, stray light, a curve. */
export const TONES = ['straight', 'flare', 'curve'] as const
export type ToneKind = (typeof TONES)[number]

/**
 * Holds the numbers near zero where the greys do not ask for more, beside errors in hundredths of a cube root. Stray
 * light, in hundredths of white, is one number that the darkest greys know well.
 */
const RESTRAINT = { flare: 0.05, curve: 0.5 }

/** A curve flatter than this somewhere would pull noise apart; it is bent less. */
const FLATTEST = 0.25

/**
 * One channel's tone from the greys.
 * @param shares the channel's numbers over the white's, a grey each
 * @param wanted the light of the same greys over the white's
 */
export function fitTone(kind: ToneKind, shares: readonly number[], wanted: readonly number[]): ChannelTone {
  if (kind === 'straight') return { flare: 0, bend: [0, 0] }
  const toneOf = (p: ArrayLike<number>): ChannelTone =>
    kind === 'flare' ? { flare: p[0] / 100, bend: [0, 0] } : { flare: 0, bend: [p[0], p[1]] }
  const residuals = (p: Float64Array) => {
    const tone = toneOf(p)
    const errors = shares.map((share, k) => 100 * (Math.cbrt(toLight(share, tone)) - Math.cbrt(wanted[k])))
    return Float64Array.from([...errors, ...Array.from(p, (v) => RESTRAINT[kind] * v)])
  }
  const found = leastSquares(residuals, kind === 'flare' ? [0] : [0, 0])
  const tone = toneOf(found)
  while (leastSlope(tone.bend) < FLATTEST) tone.bend = [0.95 * tone.bend[0], 0.95 * tone.bend[1]]
  // Less than no stray light is the business of a curve.
  return { flare: Math.max(0, tone.flare), bend: tone.bend }
}
