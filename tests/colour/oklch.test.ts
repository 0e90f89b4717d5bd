import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { oklabToWorking, oklchToWorking, workingToOklab, workingToOklch } from '../../src/colour/oklch.js'
import { toWorking } from '../../src/colour/working.js'

const light = fc.double({ min: 0, max: 1, noNaN: true })
const rgb = fc.tuple(light, light, light) as fc.Arbitrary<Vector3>

describe('Oklab and Oklch', () => {
  it('have every grey at chroma 0 and white at lightness 1', () => {
    for (const grey of [0.01, 0.2, 0.5, 1, 1.5]) {
      const [lightness, chroma] = workingToOklch([grey, grey, grey])
      expect(lightness).toBeCloseTo(Math.cbrt(grey), 9)
      expect(chroma).toBeLessThan(1e-8)
    }
  })

  it('come back to working light', () => {
    fc.assert(
      fc.property(rgb, (working) => {
        for (const back of [
          oklabToWorking(workingToOklab(working)),
          oklchToWorking(workingToOklch(working)),
        ]) {
          back.forEach((value, i) => {
            expect(value).toBeCloseTo(working[i], 10)
          })
        }
      }),
      { seed: 6 },
    )
  })

  it('are those of colorjs.io', () => {
    fc.assert(
      fc.property(rgb, (linear) => {
        const theirs = new Color('srgb-linear', linear).to('oklab').coords
        workingToOklab(apply3(toWorking('sRGB'), linear)).forEach((value, i) => {
          expect(value).toBeCloseTo(theirs[i] as number, 7)
        })
      }),
      { seed: 7 },
    )
  })
})
