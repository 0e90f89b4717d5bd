/** From capture pixels to somewhere. */
export type PointMap = (x: number, y: number) => readonly [x: number, y: number]

export interface Misplacement {
  rmsPx: number
  p95Px: number
}

/**
 * How far placed captures lie from the truth after one global alignment of all of them together: points of every
 * capture, where the result puts them against where the truth has them.
 * @param found from capture pixels to the sheet
 * @param truth from capture pixels to the painting
 * @param model `rigid`: the alignment may shift and rotate; `affine`: it may also scale and shear
 */
export function misplacement(
  found: readonly PointMap[],
  truth: readonly PointMap[],
  sizes: readonly { width: number; height: number }[],
  model: 'rigid' | 'affine' = 'rigid',
): Misplacement {
  const pairs: { from: readonly [number, number]; to: readonly [number, number] }[] = []
  for (const [k, { width, height }] of sizes.entries()) {
    for (let j = 0; j <= 8; j++) {
      for (let i = 0; i <= 8; i++) {
        const [x, y] = [(i / 8) * (width - 1), (j / 8) * (height - 1)]
        pairs.push({ from: found[k](x, y), to: truth[k](x, y) })
      }
    }
  }
  const mean = (side: 'from' | 'to', axis: 0 | 1) =>
    pairs.reduce((sum, pair) => sum + pair[side][axis], 0) / pairs.length
  const [fx, fy, tx, ty] = [mean('from', 0), mean('from', 1), mean('to', 0), mean('to', 1)]
  let [xx, xy, yy, xu, yu, xv, yv] = [0, 0, 0, 0, 0, 0, 0]
  for (const { from, to } of pairs) {
    const [x, y, u, v] = [from[0] - fx, from[1] - fy, to[0] - tx, to[1] - ty]
    xx += x * x
    xy += x * y
    yy += y * y
    xu += x * u
    yu += y * u
    xv += x * v
    yv += y * v
  }
  const determinant = xx * yy - xy * xy
  const angle = Math.atan2(xv - yu, xu + yv)
  const [a, b, d, e] =
    model === 'rigid'
      ? [Math.cos(angle), -Math.sin(angle), Math.sin(angle), Math.cos(angle)]
      : [
          (xu * yy - yu * xy) / determinant,
          (yu * xx - xu * xy) / determinant,
          (xv * yy - yv * xy) / determinant,
          (yv * xx - xv * xy) / determinant,
        ]
  const lengths = pairs
    .map(({ from, to }) => {
      const [x, y] = [from[0] - fx, from[1] - fy]
      return Math.hypot(a * x + b * y - (to[0] - tx), d * x + e * y - (to[1] - ty))
    })
    .sort((p, q) => p - q)
  return {
    rmsPx: Math.sqrt(lengths.reduce((sum, length) => sum + length * length, 0) / lengths.length),
    p95Px: lengths[Math.floor(0.95 * lengths.length)],
  }
}

/** A matrix as a map of points. */
export const through =
  ([a, b, c, d, e, f]: readonly [number, number, number, number, number, number]): PointMap =>
  (x, y) => [a * x + b * y + c, d * x + e * y + f]
