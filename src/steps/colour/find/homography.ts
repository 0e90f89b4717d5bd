import { solveLinear } from '../../shared/solveLinear.js'

/** A plane-to-plane map, row-major 3x3, last entry 1. */
export type Homography = number[]
export type Point = [x: number, y: number]

/** Where a homography sends a point. */
export function mapPoint(h: Homography, [x, y]: Point): Point {
  const w = h[6] * x + h[7] * y + h[8]
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w]
}

/** The map back. */
export function invertHomography(h: Homography): Homography {
  const [a, b, c, d, e, f, g, i, j] = h
  const adjugate = [
    ...[e * j - f * i, c * i - b * j, b * f - c * e],
    ...[f * g - d * j, a * j - c * g, c * d - a * f],
    ...[d * i - e * g, b * g - a * i, a * e - b * d],
  ]
  return adjugate.map((v) => v / adjugate[8])
}

/** `second` after `first`. */
export function composeHomography(second: Homography, first: Homography): Homography {
  const product = Array.from({ length: 9 }, (_, k) => {
    const [row, column] = [Math.floor(k / 3) * 3, k % 3]
    return (
      second[row] * first[column] + second[row + 1] * first[3 + column] + second[row + 2] * first[6 + column]
    )
  })
  return product.map((v) => v / product[8])
}

/**
 * The homography that sends `from` to `to` best in the least-squares sense; affine where there are fewer than six pairs.
 * Direct linear transform with both point sets centred and scaled (Hartley 1997, "In defense of the eight-point
 * algorithm", doi:10.1109/34.601246), the last entry fixed at 1 after centring.
 * @param from at least three points, not on one line
 * @param exact true fits a homography to four pairs (corners)
 * @returns undefined where the points do not fix a map
 */
export function fitHomography(
  from: readonly Point[],
  to: readonly Point[],
  exact = false,
): Homography | undefined {
  const a = normaliser(from)
  const b = normaliser(to)
  const projective = from.length >= 6 || (exact && from.length >= 4)
  const size = projective ? 8 : 6
  const normal = new Float64Array(size * size)
  const right = new Float64Array(size)
  const add = (row: number[], value: number) => {
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) normal[i * size + j] += row[i] * row[j]
      right[i] += row[i] * value
    }
  }
  from.forEach((point, k) => {
    const [x, y] = mapPoint(a, point)
    const [u, v] = mapPoint(b, to[k])
    add([x, y, 1, 0, 0, 0, -u * x, -u * y], u)
    add([0, 0, 0, x, y, 1, -v * x, -v * y], v)
  })
  const solved = solveLinear(normal, right)
  if (!solved) return undefined
  const h = projective ? [...solved, 1] : [...solved, 0, 0, 1]
  return composeHomography(invertHomography(b), composeHomography(h, a))
}

/** Centres points and scales them to a mean distance of sqrt 2. */
function normaliser(points: readonly Point[]): Homography {
  const n = points.length
  const mx = points.reduce((sum, [x]) => sum + x, 0) / n
  const my = points.reduce((sum, [, y]) => sum + y, 0) / n
  const spread = points.reduce((sum, [x, y]) => sum + Math.hypot(x - mx, y - my), 0) / n || 1
  const s = Math.SQRT2 / spread
  return [s, 0, -s * mx, 0, s, -s * my, 0, 0, 1]
}
