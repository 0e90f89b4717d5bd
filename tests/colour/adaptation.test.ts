import { expect, it } from 'vitest'
import { adaptation } from '../../src/colour/adaptation.js'
import { apply3, IDENTITY3, multiply3, type Vector3 } from '../../src/colour/matrix3.js'
import { D50_XYZ, xyToXyz } from '../../src/colour/whites.js'

/** Published chromaticities (CIE 15, carried by colour-science): A, C, D65. */
const WHITES: [string, readonly [number, number]][] = [
  ['A', [0.44758, 0.40745]],
  ['C', [0.31006, 0.31616]],
  ['D65', [0.3127, 0.329]],
]

it.each(WHITES)('adaptation from %s takes white to white and comes back', (_name, xy) => {
  const white: Vector3 = xyToXyz(xy)
  const matrix = adaptation(white, D50_XYZ)
  apply3(matrix, white).forEach((value, i) => {
    expect(value).toBeCloseTo(D50_XYZ[i], 12)
  })
  multiply3(adaptation(D50_XYZ, white), matrix).forEach((value, i) => {
    expect(value).toBeCloseTo(IDENTITY3[i], 12)
  })
})

it('adaptation from a white to itself changes nothing', () => {
  adaptation(D50_XYZ, D50_XYZ).forEach((value, i) => {
    expect(value).toBeCloseTo(IDENTITY3[i], 12)
  })
})
