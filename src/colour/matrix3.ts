/** Three numbers: XYZ, Lab, linear RGB; which, the name of the variable says. */
export type Vector3 = [number, number, number]

/** Nine numbers, row by row. */
export type Matrix3 = readonly number[]

export const IDENTITY3: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1]

/** The matrix that first does `second`, then `first`: `first * second`. */
export function multiply3(first: Matrix3, second: Matrix3): number[] {
  const product: number[] = []
  for (let row = 0; row < 9; row += 3) {
    for (let column = 0; column < 3; column++) {
      product.push(
        first[row] * second[column] +
          first[row + 1] * second[column + 3] +
          first[row + 2] * second[column + 6],
      )
    }
  }
  return product
}

/** `matrix * vector`. */
export function apply3(m: Matrix3, [x, y, z]: Readonly<Vector3>): Vector3 {
  return [m[0] * x + m[1] * y + m[2] * z, m[3] * x + m[4] * y + m[5] * z, m[6] * x + m[7] * y + m[8] * z]
}

/**
 * The inverse, by cofactors.
 * @throws RangeError where the matrix has none
 */
export function invert3([a, b, c, d, e, f, g, h, i]: Matrix3): number[] {
  const [A, B, C] = [e * i - f * h, f * g - d * i, d * h - e * g]
  const determinant = a * A + b * B + c * C
  if (determinant === 0 || !Number.isFinite(determinant)) throw new RangeError('the matrix has no inverse')
  return [
    A,
    c * h - b * i,
    b * f - c * e,
    B,
    a * i - c * g,
    c * d - a * f,
    C,
    b * g - a * h,
    a * e - b * d,
  ].map((cofactor) => cofactor / determinant)
}
