import type { Rule } from './rules.js'

/**
 * Oklab chroma up to which a colour counts as neutral and is not touched, and from which it is touched in full. Blank
 * paper and graphite lie below the first, a pale wash that has a hue to speak of above the second.
 */
export const NEUTRAL_CHROMA = 0.01
export const FULL_CHROMA = 0.04

/**
 * How far a rule takes hold of a colour, 0..1: a raised cosine of the hue's distance from the rule's middle, 1 there and
 * 0 from half the width on; times a smooth step of the chroma.
 * @param a Oklab a
 * @param b Oklab b
 * @param chroma their length
 */
export function weight(rule: Rule, a: number, b: number, chroma: number): number {
  if (chroma <= NEUTRAL_CHROMA) return 0
  const along = a * rule.cosMiddle + b * rule.sinMiddle
  if (along <= rule.cosHalf * chroma) return 0
  const across = b * rule.cosMiddle - a * rule.sinMiddle
  const ofHue = 0.5 + 0.5 * Math.cos((Math.atan2(across, along) * Math.PI) / rule.halfRadians)
  if (chroma >= FULL_CHROMA) return ofHue
  const t = (chroma - NEUTRAL_CHROMA) / (FULL_CHROMA - NEUTRAL_CHROMA)
  return ofHue * t * t * (3 - 2 * t)
}
