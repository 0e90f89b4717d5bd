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
  const total = (i: 0 | 1 | 2) => used.reduce((sum, { shading }) => sum + shading[i], 0)
  const own = total(0)
  const tint: [number, number] = [total(1) / (own + 1e-12), total(2) / (own + 1e-12)]
  const size = Math.hypot(...tint)
  return size < LEAST || size > MOST ? [0, 0] : (tint.map((v) => Number(v.toFixed(4))) as [number, number])
}
