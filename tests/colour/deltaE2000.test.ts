import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { deltaE2000 } from '../../src/colour/deltaE2000.js'
import type { Vector3 } from '../../src/colour/matrix3.js'

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const lab: fc.Arbitrary<Vector3> = fc.tuple(real(0, 100), real(-128, 128), real(-128, 128))

describe('CIEDE2000', () => {
  it('is that of colorjs.io for any two colours', () => {
    // Evenly spread and not fast-check's, whose edge cases fall where the two differ by design: the other library takes
    // a chroma of a few hundredths for none, and exactly opposite hues as atan2 rounds them.
    let state = 4
    const random = (min: number, max: number) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      return min + (state / 2 ** 32) * (max - min)
    }
    const any = (): Vector3 => [random(0, 100), random(-128, 128), random(-128, 128)]
    for (let i = 0; i < 5000; i++) {
      const [one, other] = [any(), any()]
      const theirs = new Color('lab', one).deltaE2000(new Color('lab', other))
      expect(Math.abs(deltaE2000(one, other) - theirs)).toBeLessThan(1e-10)
    }
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
