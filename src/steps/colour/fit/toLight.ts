import type { ChannelTone } from './Fit.js'

/**
 * The light that a channel's number stands for, both as shares of white's. Stray light is taken off; then the curve is
 * bent on a cube-root scale, near to lightness: `s + s (1 - s) (a + b (1 - 2 s))`, straight on beyond white, odd below
 * zero; black and white stay where they are.
 */
export function toLight(share: number, { flare, bend: [a, b] }: ChannelTone): number {
  const bare = (share - flare) / (1 - flare)
  if (a === 0 && b === 0) return bare
  const s = Math.cbrt(Math.abs(bare))
  const bent = s <= 1 ? s + s * (1 - s) * (a + b * (1 - 2 * s)) : 1 + (s - 1) * (1 - a + b)
  return Math.sign(bare) * bent ** 3
}

/** How many times more light changes than the channel's number, both relative: d ln(light) / d ln(share). */
export function toneSlope(share: number, tone: ChannelTone): number {
  const h = 0.01
  const [low, high] = [toLight(share * (1 - h), tone), toLight(share * (1 + h), tone)]
  return low > 0 && high > 0 ? Math.log(high / low) / Math.log((1 + h) / (1 - h)) : 1
}

/** The smallest slope of the bent curve, on the cube-root scale, over 0..1: the curve rises where it is positive. */
export function leastSlope([a, b]: ChannelTone['bend']): number {
  // Slope 1 + a (1 - 2s) + b (1 - 6s + 6s²): its ends, and its lowest point where that lies between.
  const at = (s: number) => 1 + a * (1 - 2 * s) + b * (1 - 6 * s + 6 * s * s)
  const lowest = b > 0 ? Math.min(1, Math.max(0, 0.5 + a / (6 * b))) : 0
  return Math.min(at(0), at(1), at(lowest))
}
