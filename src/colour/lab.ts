import type { Vector3 } from './matrix3.js'
import { D50_XYZ } from './whites.js'

/** Where the cube root gives way to a straight line, and the line's slope, as exact fractions (CIE 15:2018, 8.2.1). */
const EPSILON = 216 / 24389
const KAPPA = 24389 / 27

const toF = (t: number) => (t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116)
const fromF = (f: number) => (f ** 3 > EPSILON ? f ** 3 : (116 * f - 16) / KAPPA)

/**
 * CIELAB of XYZ, both relative to the D50 of the ICC connection space.
 * @param xyz Y = 1 for white; negative values follow the straight part (ICC.1:2022, 6.3.4.2)
 * @returns L* 0..100, a*, b*
 */
export function xyzD50ToLab([x, y, z]: Readonly<Vector3>): Vector3 {
  const [fx, fy, fz] = [toF(x / D50_XYZ[0]), toF(y / D50_XYZ[1]), toF(z / D50_XYZ[2])]
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)]
}

/** The inverse of `xyzD50ToLab`. */
export function labToXyzD50([l, a, b]: Readonly<Vector3>): Vector3 {
  const fy = (l + 16) / 116
  return [D50_XYZ[0] * fromF(fy + a / 500), D50_XYZ[1] * fromF(fy), D50_XYZ[2] * fromF(fy - b / 200)]
}
