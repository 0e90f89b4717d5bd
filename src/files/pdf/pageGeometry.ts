import type { BoxMm } from '../../outputs/PdfDocument.js'
import { MM_PER_INCH } from '../../units.js'

/** PDF's unit: 1/72 inch. */
const POINTS_PER_MM = 72 / MM_PER_INCH

/** Points of a length in millimetres. */
export const points = (mm: number) => mm * POINTS_PER_MM

/** A box in points from the page's bottom left corner, as PDF wants it. */
export function boxPoints(
  box: BoxMm,
  pageHeightMm: number,
): [x: number, y: number, width: number, height: number] {
  return [points(box.x), points(pageHeightMm - box.y - box.height), points(box.width), points(box.height)]
}

/**
 * The matrix that lays the unit square of a picture into a box, turned clockwise: the turned picture fills the box.
 * @param box in points, from `boxPoints`
 */
export function pictureMatrix(
  [x, y, width, height]: [number, number, number, number],
  turned: 0 | 90 | 180 | 270,
): [number, number, number, number, number, number] {
  switch (turned) {
    case 90:
      return [0, -height, width, 0, x, y + height]
    case 180:
      return [-width, 0, 0, -height, x + width, y + height]
    case 270:
      return [0, height, -width, 0, x + width, y]
    default:
      return [width, 0, 0, height, x, y]
  }
}

/** Cosine and sine of a clockwise turn, in PDF's upward y: exact for the four turns there are. */
export function turnVector(turned: 0 | 90 | 180 | 270): [cos: number, sin: number] {
  return (
    [
      [1, 0],
      [0, -1],
      [-1, 0],
      [0, 1],
    ] as const
  )[turned / 90] as [number, number]
}
