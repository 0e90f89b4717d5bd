import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { deltaE2000 } from '../../src/colour/deltaE2000.js'
import type { Vector3 } from '../../src/colour/matrix3.js'

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const lab: fc.Arbitrary<Vector3> = fc.tuple(real(0, 100), real(-128, 128), real(-128, 128))
/** The other library takes a chroma of a few hundredths for none. */
const coloured = lab.filter(([, a, b]) => Math.hypot(a, b) > 0.1)

describe('CIEDE2000', () => {
  it('is that of colorjs.io for any two colours', () => {
    fc.assert(
      fc.property(coloured, coloured, (one, other) => {
        const theirs = new Color('lab', one).deltaE2000(new Color('lab', other))
        expect(deltaE2000(one, other)).toBeCloseTo(theirs, 8)
      }),
      { seed: 4, numRuns: 2000 },
    )
  })

  it('is nothing from a colour to itself, and the same both ways', () => {
    fc.assert(
      fc.property(lab, lab, (one, other) => {
        expect(deltaE2000(one, one)).toBe(0)
        expect(deltaE2000(one, other)).toBeCloseTo(deltaE2000(other, one), 10)
      }),
      { seed: 5 },
    )
  })

  it('of exactly opposite hues does not depend on the last bit of an angle', () => {
    for (const [a, b] of [
      [0.001, 2.49],
      [2.49, 0.001],
      [1.1, 1.7],
      [3, 4],
    ]) {
      const exact = deltaE2000([50, -a, b], [50, a, -b])
      expect(Math.abs(exact - deltaE2000([50, a, -b], [50, -a, b]))).toBeLessThan(1e-12)
    }
  })
})
