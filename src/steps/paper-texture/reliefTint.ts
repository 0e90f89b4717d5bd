import type { WindowFacts } from './windowFacts.js'

/** Smaller than this is noise, larger is not relief but paint; logarithm of a ratio a logarithm of luminance. */
const LEAST = 0.06
const MOST = 0.4

/**
 * How relief colours the sheet: by how much log red/green and log blue/green change with log luminance on blank paper.
 * Light on a slope changes all channels alike, so this is 0, 0 in a capture of linear light. Captures that went through
 * tone curves of their own, and captures of tinted paper with glossy highlights, show a steady share; left in, it would
 * make the relief look like paint.
 * @returns slopes of the regression over all windows; 0, 0 where they are negligible or too large to be relief
 */
export function reliefTint(used: readonly WindowFacts[]): [number, number] {
  const tint = colourWithLight(used)
  const size = Math.hypot(...tint)
  return size < LEAST || size > MOST ? [0, 0] : (tint.map((v) => Number(v.toFixed(4))) as [number, number])
}

/** Below this the unevenness of light has a tail of dark spots: shading darkens about as it brightens. */
const DARK_TAIL = -2

/**
 * Whether what is uneven in the sheet is a pattern of its own, as dark gaps between pale threads evenly lit, and no relief:
 * relief changes the light alone, and about as often up as down; a pattern that changes colour more than relief can, and is
 * made of dark spots on an even ground, is part of the picture.
 */
export function isPattern(used: readonly WindowFacts[]): boolean {
  const sum = (of: (facts: WindowFacts) => number) => used.reduce((total, facts) => total + of(facts), 0)
  const variance = sum(({ moments }) => moments[0]) / used.length
  const skewness = sum(({ moments }) => moments[1]) / used.length / (variance + 1e-12) ** 1.5
  return Math.hypot(...colourWithLight(used)) > MOST && skewness < DARK_TAIL
}

/** Slopes of the colour ratios over luminance, pooled over windows. */
function colourWithLight(used: readonly WindowFacts[]): [number, number] {
  const total = (i: 0 | 1 | 2) => used.reduce((sum, { shading }) => sum + shading[i], 0)
  const own = total(0)
  return [total(1) / (own + 1e-12), total(2) / (own + 1e-12)]
}
