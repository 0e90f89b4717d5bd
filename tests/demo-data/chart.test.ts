import { describe, expect, it } from 'vitest'
import { chartCapture } from '../../demo-data/chartCapture.js'
import { deltaE2000 } from '../../src/colour/deltaE2000.js'
import { space } from '../../src/colour/spaces/space.js'

const LIGHT = { lampFromDeg: 0, falloff: 0, device: 'truth', noise: 0, blurPx: 0.5, seed: 4 } as const
const chart = (request: Partial<Parameters<typeof chartCapture>[0]> = {}) =>
  chartCapture({ ...LIGHT, width: 480, height: 360, ...request })

/**
 * CIELAB under D50 of four patches of the chart as made before November 2014: blue sky, red, white, neutral 5.
 * Source: the chart maker's reference data, through the colour-science library's characterisation data.
 */
const PUBLISHED: [patch: number, lab: [number, number, number]][] = [
  [2, [49.927, -4.88, -21.905]],
  [14, [42.101, 53.378, 28.19]],
  [18, [96.539, -0.425, 1.186]],
  [21, [50.867, -0.153, -0.27]],
]

describe('the painted chart', () => {
  it('has the colours published for such charts', () => {
    const { labD50 } = chart()
    // Spectra and colours were measured on different charts; 2 is how far those lie apart, not an error of arithmetic.
    for (const [patch, lab] of PUBLISHED) expect(deltaE2000(labD50[patch], lab)).toBeLessThan(2)
  })

  it.each([
    { rotationDeg: 0, perspective: 0 },
    { rotationDeg: 12, perspective: 0.15 },
    { rotationDeg: 180, perspective: 0 },
    { rotationDeg: 90, perspective: 0.05, share: 0.6 },
  ])('has its patches where it says, laid %o', (laid) => {
    const { raster, centres, patchPx } = chart(laid)
    const { decode } = space('sRGB')
    const green = centres.map(([x, y]) => {
      const i = 3 * (Math.round(y) * raster.width + Math.round(x)) + 1
      return decode(raster.data[i] / 65535)
    })
    // The greys fall from white to black: 0.88, 0.59, 0.36, 0.2, 0.09, 0.035 of the perfect diffuser.
    const greys = green.slice(18)
    for (let i = 0; i < 5; i++) expect(greys[i]).toBeGreaterThan(1.5 * greys[i + 1])
    // And a whole patch is even: a third of its side away from the middle nothing has changed.
    for (const [i, [x, y]] of centres.entries()) {
      const at = 3 * (Math.round(y) * raster.width + Math.round(x + patchPx / 4)) + 1
      expect(Math.abs(decode(raster.data[at] / 65535) - green[i])).toBeLessThan(1e-3)
    }
  })

  it('looks different to the scanner', () => {
    const [truth, scanner] = [chart(), chart({ device: 'scanner' })]
    expect(scanner.labD50).toEqual(truth.labD50)
    expect(scanner.raster.data).not.toEqual(truth.raster.data)
  })
})
