import { describe, expect, it } from 'vitest'
import { chartCapture } from '../../../demo-data/chartCapture.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { mapPoint } from '../../../src/steps/colour/find/homography.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import { labOfWorking } from '../../../src/steps/colour/fit/labOfWorking.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext } from '../../helpers/readContext.js'
import { chartColours } from './chartColours.js'
import { CHART_SPECTRA, labOfSpectrum, paintSpectra, paintsThere, SIMULATED } from './simulation.js'

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

describe("colour on the painter's charts", () => {
  it.each([
    ['scanner', 180, 0.1],
    ['camera', 37, 0.2],
  ] as const)(
    '%s at %i degrees: found, left-out mean dE2000 at most 2',
    async (device, rotationDeg, perspective) => {
      const shown = { width: 720, height: 540, share: 0.6, rotationDeg, perspective }
      const lamp = { device, lampFromDeg: 300, falloff: 0.1, noise: 0.004, blurPx: 0.7, seed: 3 }
      const chart = chartCapture({ ...shown, ...lamp })
      const { transform } = await inputTransform('sRGB', 'chart')
      const source = captureSource(chart.raster, transform)
      const context = readContext([], { auxiliaryCaptures: { chart: { source } } })
      const reading = (await colour.read(
        [],
        colour.params.parse({ chart: 'chart' }),
        context,
      )) as ChartReading
      chart.centres.forEach(([x, y], k) => {
        const [fx, fy] = mapPoint(reading.chart.toPicture, [k % 6, Math.floor(k / 6)])
        // The painter's pixel centres stand at whole numbers, the step's at halves.
        expect(Math.hypot(fx - 0.5 - x, fy - 0.5 - y)).toBeLessThan(0.05 * chart.patchPx)
      })
      expect(mean(reading.patches.map(({ leftOut }) => leftOut!))).toBeLessThan(2)
      expect(mean(reading.patches.map(({ before }) => before))).toBeGreaterThan(5)
    },
  )
})

describe.runIf(paintsThere)('colour on watercolours that the fit never saw', () => {
  it('the ladder is at least 20 % below the matrix over three cameras and three lamps, never worse', () => {
    const paints = paintSpectra(3)
    const labs = CHART_SPECTRA.map(labOfSpectrum)
    const truth = paints.map(labOfSpectrum)
    const cases = SIMULATED.map(({ light, see }) => {
      const error = (fit: Parameters<typeof corrected>[0]) =>
        mean(paints.map((paint, k) => deltaE2000(labOfWorking(corrected(fit, see(paint))), truth[k])))
      const { chosen, tried } = chooseFit('auto', chartColours(CHART_SPECTRA.map(see), labs))
      const matrix = tried.find(({ fit }) => fit.rung === 'matrix')!
      return {
        ladder: error(chosen.fit),
        matrix: error(matrix.fit),
        leftOut: mean(chosen.leftOut),
        max: Math.max(...chosen.leftOut),
        d50: light === 'D50',
      }
    })
    for (const { ladder, matrix, max, d50 } of cases) {
      expect(max).toBeLessThanOrEqual(5)
      expect(ladder).toBeLessThanOrEqual(matrix)
      if (d50) expect(ladder).toBeLessThan(2.5)
    }
    expect(mean(cases.map(({ ladder }) => ladder))).toBeLessThan(
      0.8 * mean(cases.map(({ matrix }) => matrix)),
    )
    expect(mean(cases.map(({ leftOut }) => leftOut))).toBeLessThan(1.5)
    // No flattering figures: on the whole, patches left out tell the error on unseen paints within 30 %.
    const stated = mean(cases.map(({ leftOut }) => leftOut)) / mean(cases.map(({ ladder }) => ladder))
    expect(stated).toBeGreaterThan(0.7)
    expect(stated).toBeLessThan(1.3)
  })
})
