/**
 * A plane projective map, row by row without its last 1: (x, y) goes to
 * ((m0 x + m1 y + m2) / w, (m3 x + m4 y + m5) / w) with w = m6 x + m7 y + 1. Pixel centres lie at whole numbers.
 */
export type PlaneMap = [
  m0: number,
  m1: number,
  m2: number,
  m3: number,
  m4: number,
  m5: number,
  m6: number,
  m7: number,
]

/** A map without perspective, its 2 x 3 matrix row by row: x' = a x + b y + c, y' = d x + e y + f. */
export type Affine = [a: number, b: number, c: number, d: number, e: number, f: number]

export const asPlaneMap = ([a, b, c, d, e, f]: Affine): PlaneMap => [a, b, c, d, e, f, 0, 0]

/** Where a point goes. */
export function mapPoint(m: PlaneMap, x: number, y: number): [x: number, y: number] {
  const w = m[6] * x + m[7] * y + 1
  return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w]
}

/** The map that does `first`, then `second`. */
export function composed([a, b, c, d, e, f]: Affine, [A, B, C, D, E, F]: Affine): Affine {
  return [A * a + B * d, A * b + B * e, A * c + B * f + C, D * a + E * d, D * b + E * e, D * c + E * f + F]
}

/** The map back. */
export function inverted([a, b, c, d, e, f]: Affine): Affine {
  const determinant = a * e - b * d
  const [A, B, D, E] = [e / determinant, -b / determinant, -d / determinant, a / determinant]
  // Adding 0 makes -0 plain, so that matrices of quarter turns compare as they read.
  return [A + 0, B + 0, -(A * c + B * f) + 0, D + 0, E + 0, -(D * c + E * f) + 0]
}

/** Whether a map is the identity between pictures of one size: then the one is the other. */
export function isExactCopyOf(
  map: PlaneMap,
  from: { width: number; height: number },
  to: { width: number; height: number },
): boolean {
  const identity = map.every((value, i) => value === (i === 0 || i === 4 ? 1 : 0))
  return identity && from.width === to.width && from.height === to.height
}
