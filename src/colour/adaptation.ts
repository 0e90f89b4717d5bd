import { apply3, invert3, type Matrix3, multiply3, type Vector3 } from './matrix3.js'

/** Cone response matrix of the Bradford transform. Source: ICC.1:2022, annex E (linear Bradford). */
export const BRADFORD: Matrix3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296]

/**
 * Matrix that takes XYZ seen under one white to the XYZ that look the same under another: von Kries' scaling of the
 * cone responses.
 * @param from XYZ of the white adapted from, Y = 1
 * @param to XYZ of the white adapted to, Y = 1
 * @param cones from XYZ to cone responses; linear Bradford, as ICC profiles have it, unless given
 */
export function adaptation(
  from: Readonly<Vector3>,
  to: Readonly<Vector3>,
  cones: Matrix3 = BRADFORD,
): number[] {
  const before = apply3(cones, from)
  const after = apply3(cones, to)
  const scale = [after[0] / before[0], 0, 0, 0, after[1] / before[1], 0, 0, 0, after[2] / before[2]]
  return multiply3(invert3(cones), multiply3(scale, cones))
}
