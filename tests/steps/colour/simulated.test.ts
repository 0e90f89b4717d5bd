import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { chartCapture } from '../../../demo-data/chartCapture.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { ILLUMINANT_D50 } from '../../../src/colour/charts/spectral/illuminantD50.js'
import { spectrumToXyzD50 } from '../../../src/colour/charts/spectral/spectrumToXyzD50.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { xyzD50ToLab } from '../../../src/colour/lab.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { mapPoint } from '../../../src/steps/colour/find/homography.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import type { Triple } from '../../../src/steps/colour/fit/Fit.js'
import { labOfWorking } from '../../../src/steps/colour/fit/labOfWorking.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext } from '../../helpers/readContext.js'
import { OHTA_1997 } from '../../published/chart24Spectra.js'
import { LAMPS } from '../../published/lamps.js'
import { chartColours } from './chartColours.js'

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

const NM = Array.from({ length: 81 }, (_, i) => 380 + 5 * i)
const bell = (middle: number, width: number, height = 1) =>
  NM.map((nm) => height * Math.exp(-(((nm - middle) / width) ** 2) / 2))
const sum = (a: readonly number[], b: readonly number[]) => a.map((v, i) => v + b[i])

/** Three cameras made up of bell curves: overlapping, broad and narrow. None meets the condition of a colorimeter. */
const CAMERAS: readonly (readonly number[])[][] = [
  [sum(bell(600, 34), bell(440, 18, 0.06)), sum(bell(537, 42), bell(620, 20, 0.05)), bell(460, 30)],
  [sum(bell(605, 45), bell(520, 30, 0.1)), bell(535, 50), sum(bell(455, 32), bell(540, 25, 0.08))],
  [bell(620, 26), bell(530, 32), bell(450, 22)],
]

/** 600 mixtures of artists' watercolours: Chen et al. 2019, arXiv:1904.00275 (NTU WPSM data). */
const file = new URL('../../../../shared/data/spectra/watercolour-reflectances-600.csv', import.meta.url)
describe.runIf(existsSync(file))('colour on watercolours that the fit never saw', () => {
  it('the ladder is at least 20 % below the matrix over three cameras and three lamps, never worse', () => {
    const paints = readFileSync(file, 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .filter((_, k) => k % 3 === 0)
      .map((line) => {
        const tens = line.split(',').map(Number)
        return NM.map((_, i) => (i % 2 ? (tens[(i - 1) / 2] + tens[(i + 1) / 2]) / 2 : tens[i / 2]))
      })
    const labOf = (reflectance: readonly number[]) => xyzD50ToLab(spectrumToXyzD50(NM, reflectance))
    const labD50 = OHTA_1997.map(labOf)
    const truth = paints.map(labOf)
    const cases = CAMERAS.flatMap((camera) =>
      [ILLUMINANT_D50, LAMPS.FL11, LAMPS['LED-B1']].map((lamp) => {
        const see = (reflectance: readonly number[]) =>
          camera.map((curve) => {
            const full = curve.reduce((total, v, i) => total + v * lamp[i], 0)
            return curve.reduce((total, v, i) => total + v * lamp[i] * reflectance[i], 0) / full
          }) as Triple
        const data = chartColours(OHTA_1997.map(see), labD50)
        const error = (fit: Parameters<typeof corrected>[0]) =>
          mean(paints.map((paint, k) => deltaE2000(labOfWorking(corrected(fit, see(paint))), truth[k])))
        const { chosen, tried } = chooseFit('auto', data)
        const matrix = tried.find(({ fit }) => fit.rung === 'matrix')!
        return {
          ladder: error(chosen.fit),
          matrix: error(matrix.fit),
          leftOut: mean(chosen.leftOut),
          d50: lamp === ILLUMINANT_D50,
        }
      }),
    )
    for (const { ladder, matrix, d50 } of cases) {
      expect(ladder).toBeLessThanOrEqual(matrix)
      if (d50) expect(ladder).toBeLessThan(2.5)
    }
    expect(mean(cases.map(({ ladder }) => ladder))).toBeLessThan(
      0.8 * mean(cases.map(({ matrix }) => matrix)),
    )
    // No flattering figures: on the whole, patches left out tell no less than the error on unseen paints.
    expect(mean(cases.map(({ leftOut }) => leftOut))).toBeGreaterThan(
      0.9 * mean(cases.map(({ ladder }) => ladder)),
    )
  })
})
