import { invert3 } from '../../src/colour/matrix3.js'

/** A plane seen in perspective, and back. */
export interface Homography {
  forward(u: number, v: number): [number, number]
  inverse(x: number, y: number): [number, number]
}

/**
 * The perspective mapping of a rectangle onto four corners.
 * @param size the rectangle's width and height; its first corner is 0, 0
 * @param corners where its corners land, clockwise from the first
 * Source: P. Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section 2.2.3 (square to quadrilateral).
 */
export function planeMapping(
  [w, h]: readonly [number, number],
  corners: readonly (readonly [number, number])[],
): Homography {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners
  const [dx1, dx2, sx] = [x1 - x2, x3 - x2, x0 - x1 + x2 - x3]
  const [dy1, dy2, sy] = [y1 - y2, y3 - y2, y0 - y1 + y2 - y3]
  const determinant = dx1 * dy2 - dx2 * dy1
  const g = (sx * dy2 - dx2 * sy) / determinant
  const k = (dx1 * sy - sx * dy1) / determinant
  const matrix = [
    ...[(x1 - x0 + g * x1) / w, (x3 - x0 + k * x3) / h, x0],
    ...[(y1 - y0 + g * y1) / w, (y3 - y0 + k * y3) / h, y0],
    ...[g / w, k / h, 1],
  ]
  const through =
    (m: readonly number[]) =>
    (x: number, y: number): [number, number] => {
      const z = m[6] * x + m[7] * y + m[8]
      return [(m[0] * x + m[1] * y + m[2]) / z, (m[3] * x + m[4] * y + m[5]) / z]
    }
  return { forward: through(matrix), inverse: through(invert3(matrix)) }
}
