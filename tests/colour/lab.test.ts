import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { labToXyzD50, xyzD50ToLab } from '../../src/colour/lab.js'
import { D50_XYZ } from '../../src/colour/whites.js'

const lab = fc.tuple(
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
)

describe('CIELAB', () => {
  it('of white is 100, 0, 0 and of nothing 0, 0, 0', () => {
    expect(xyzD50ToLab([...D50_XYZ])).toEqual([100, 0, 0])
    expect(xyzD50ToLab([0, 0, 0])).toEqual([0, 0, 0])
  })

  it('comes back from XYZ, negative XYZ too', () => {
    fc.assert(
      fc.property(lab, (colour) => {
        xyzD50ToLab(labToXyzD50(colour)).forEach((value, i) => {
          expect(value).toBeCloseTo(colour[i], 9)
        })
      }),
      { seed: 2 },
    )
  })

  it('is that of colorjs.io but for the digits of its white', () => {
    fc.assert(
      fc.property(lab, (colour) => {
        // Its D50 is 0.96430, 1, 0.82510: the same colour relative to white has XYZ scaled by the two.
        const [x, y, z] = labToXyzD50(colour)
        const white = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585]
        const theirs = new Color('xyz-d50', [(x / D50_XYZ[0]) * white[0], y, (z / D50_XYZ[2]) * white[2]]).to(
          'lab',
        ).coords
        theirs.forEach((value, i) => {
          expect(value).toBeCloseTo(colour[i], 7)
        })
      }),
      { seed: 3 },
    )
  })
})
