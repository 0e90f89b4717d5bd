import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { apply3, IDENTITY3, invert3, multiply3 } from '../../src/colour/matrix3.js'

const entry = fc.double({ min: -2, max: 2, noNaN: true })
/** Diagonally dominant, so that an inverse exists and is well conditioned. */
const matrix = fc
  .array(entry, { minLength: 9, maxLength: 9 })
  .map((entries) => entries.map((value, i) => value + (i % 4 === 0 ? 6 : 0)))

describe('3 x 3 matrices', () => {
  it('multiply in the order written', () => {
    expect(multiply3([1, 2, 3, 4, 5, 6, 7, 8, 9], [9, 8, 7, 6, 5, 4, 3, 2, 1])).toEqual([
      30, 24, 18, 84, 69, 54, 138, 114, 90,
    ])
    expect(apply3([1, 2, 3, 4, 5, 6, 7, 8, 9], [1, 0, -1])).toEqual([-2, -2, -2])
  })

  it('times their inverse are the identity in all nine entries', () => {
    fc.assert(
      fc.property(matrix, (m) => {
        for (const product of [multiply3(m, invert3(m)), multiply3(invert3(m), m)]) {
          product.forEach((value, i) => {
            expect(value).toBeCloseTo(IDENTITY3[i], 12)
          })
        }
      }),
      { seed: 1 },
    )
  })

  it('without an inverse are refused', () => {
    expect(() => invert3([1, 2, 3, 2, 4, 6, 0, 0, 1])).toThrow(RangeError)
  })
})
