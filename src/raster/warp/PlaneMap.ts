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

/** The map that does `first`, then `second`. */
export function composedMaps(first: PlaneMap, second: PlaneMap): PlaneMap {
  const [a, b] = [whole(second), whole(first)]
  const product = Array.from({ length: 9 }, (_, i) => {
    const [row, column] = [3 * Math.floor(i / 3), i % 3]
    return a[row] * b[column] + a[row + 1] * b[column + 3] + a[row + 2] * b[column + 6]
  })
  return scaled(product)
}

/** The map back. */
export function invertedMap(map: PlaneMap): PlaneMap {
  const [a, b, c, d, e, f, g, h] = map
  // The adjugate; a common factor does not matter to a projective map.
  return scaled([
    ...[e - f * h, c * h - b, b * f - c * e],
    ...[f * g - d, a - c * g, c * d - a * f],
    ...[d * h - e * g, b * g - a * h, a * e - b * d],
  ])
}

const whole = (map: PlaneMap): number[] => [...map, 1]

/** Nine numbers brought to a last one of 1; adding 0 makes -0 plain. */
const scaled = (matrix: readonly number[]): PlaneMap =>
  matrix.slice(0, 8).map((value) => value / matrix[8] + 0) as PlaneMap

/** How a map stretches and turns at a point: its derivatives, row by row. */
export function slopesAt(
  m: PlaneMap,
  x: number,
  y: number,
): [xx: number, xy: number, yx: number, yy: number] {
  const w = m[6] * x + m[7] * y + 1
  const [u, v] = mapPoint(m, x, y)
  return [(m[0] - u * m[6]) / w, (m[1] - u * m[7]) / w, (m[3] - v * m[6]) / w, (m[4] - v * m[7]) / w]
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
