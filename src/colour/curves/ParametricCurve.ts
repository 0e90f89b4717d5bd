/**
 * A curve from encoded to linear numbers, both 0..1: `(a x + b)^g` from `d` upwards, `c x` below.
 * The form of parametricCurveType with function type 3 (ICC.1:2022, 10.18); a plain power has d = 0.
 */
export interface ParametricCurve {
  g: number
  a: number
  b: number
  c: number
  d: number
}

/** Linear value of an encoded one; mirrored about 0 for negative ones. */
export function decodeCurve({ g, a, b, c, d }: ParametricCurve, encoded: number): number {
  const x = Math.abs(encoded)
  return Math.sign(encoded) * (x < d ? c * x : (a * x + b) ** g)
}

/** Encoded value of a linear one; the exact inverse of `decodeCurve`. */
export function encodeCurve({ g, a, b, c, d }: ParametricCurve, linear: number): number {
  const x = Math.abs(linear)
  return Math.sign(linear) * (x < c * d ? x / c : (x ** (1 / g) - b) / a)
}
