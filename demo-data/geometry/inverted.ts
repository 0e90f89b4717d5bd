import type { Transform } from '../Transform.js'

/** The way back of a transform. */
export function inverted([a, b, c, d, e, f]: Transform): Transform {
  const determinant = a * e - b * d
  const [p, q, r, s] = [e / determinant, -b / determinant, -d / determinant, a / determinant]
  return [p, q, -(p * c + q * f), r, s, -(r * c + s * f)]
}
