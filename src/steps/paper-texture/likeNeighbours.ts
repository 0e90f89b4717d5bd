/**
 * Neighbours that a place's common part is taken from: how far they lie, how far apart they are looked at, and standard
 * deviations of their distance in pixels, of their log2 ratios and of their log2 luminance.
 */
export const REACH = 12
export const EVERY = 2
const NEAR_PX = 8
export const LIKE_RATIO = 0.05
export const LIKE_LIGHT = 0.1

/** Weights of the neighbours by their distance alone, row by row, every other row shifted (see the kernel). */
export function nearness(): Float32Array {
  const weights: number[] = []
  for (let y = -REACH; y <= REACH; y += EVERY) {
    const shift = ((y + REACH) / EVERY) % 2 === 0 ? 0 : EVERY
    for (let x = shift - REACH; x <= REACH; x += 2 * EVERY) {
      weights.push(Math.exp(-(x * x + y * y) / (2 * NEAR_PX ** 2)))
    }
  }
  return Float32Array.from(weights)
}
