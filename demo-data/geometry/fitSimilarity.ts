import type { Transform } from '../Transform.js'

export type PointPair = { from: readonly [number, number]; to: readonly [number, number] }

/**
 * The turn, scale and shift that takes points nearest to their partners, and what is left between them.
 * Formula: least squares in closed form (B. K. P. Horn, "Closed-form solution of absolute orientation using unit
 * quaternions", J. Opt. Soc. Am. A 4(4), 1987, doi:10.1364/JOSAA.4.000629; here in the plane).
 */
export function fitSimilarity(pairs: readonly PointPair[]): { transform: Transform; rms: number } {
  const mean = (pick: (pair: PointPair) => number) =>
    pairs.reduce((sum, pair) => sum + pick(pair), 0) / pairs.length
  const [fx, fy] = [mean(({ from }) => from[0]), mean(({ from }) => from[1])]
  const [tx, ty] = [mean(({ to }) => to[0]), mean(({ to }) => to[1])]
  let [dot, cross, square] = [0, 0, 0]
  for (const { from, to } of pairs) {
    const [x, y, u, v] = [from[0] - fx, from[1] - fy, to[0] - tx, to[1] - ty]
    dot += x * u + y * v
    cross += x * v - y * u
    square += x * x + y * y
  }
  const [a, b] = [dot / square, cross / square]
  const transform: Transform = [a, -b, tx - a * fx + b * fy, b, a, ty - b * fx - a * fy]
  const squares = mean(
    ({ from: [x, y], to: [u, v] }) =>
      (a * x - b * y + transform[2] - u) ** 2 + (b * x + a * y + transform[5] - v) ** 2,
  )
  return { transform, rms: Math.sqrt(squares) }
}
