import { curveTable } from './curves/curveTable.js'
import type { InputTransform } from './InputTransform.js'
import { IDENTITY3, multiply3 } from './matrix3.js'
import { toWorking } from './working.js'

/**
 * How linear, white-balanced camera numbers become working linear light: green's share of full scale is light.
 * @param whiteBalance the multipliers that the numbers were balanced by, the largest of which was brought to 1
 * @param toSrgb from balanced camera numbers to linear sRGB, row-major; undefined where the camera is not known: then
 * the numbers stand as they are, for a chart to correct
 */
export function rawTransform(
  { red, blue }: { red: number; blue: number },
  toSrgb: readonly number[] | undefined,
): InputTransform {
  const scale = Math.max(red, 1, blue)
  const matrix = toSrgb ? multiply3(toWorking('sRGB'), toSrgb) : IDENTITY3
  const line = curveTable((x) => x)
  return { kind: 'matrix', curves: [line, line, line], matrix: matrix.map((value) => value * scale) }
}
