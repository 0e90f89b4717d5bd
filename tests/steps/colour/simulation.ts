import { existsSync, readFileSync } from 'node:fs'
import { ILLUMINANT_D50 } from '../../../src/colour/charts/spectral/illuminantD50.js'
import { spectrumToXyzD50 } from '../../../src/colour/charts/spectral/spectrumToXyzD50.js'
import { xyzD50ToLab } from '../../../src/colour/lab.js'
import type { Triple } from '../../../src/steps/colour/fit/Fit.js'
import { OHTA_1997 } from '../../published/chart24Spectra.js'
import { LAMPS } from '../../published/lamps.js'

type Spectrum = readonly number[]

/** Wavelengths of every spectrum here. */
export const NM = Array.from({ length: 81 }, (_, i) => 380 + 5 * i)
const bell = (middle: number, width: number, height = 1) =>
  NM.map((nm) => height * Math.exp(-(((nm - middle) / width) ** 2) / 2))
const sum = (a: Spectrum, b: Spectrum) => a.map((v, i) => v + b[i])

/** Three cameras made up of bell curves: overlapping, broad and narrow. None meets the condition of a colorimeter. */
const CAMERAS: readonly (readonly Spectrum[])[] = [
  [sum(bell(600, 34), bell(440, 18, 0.06)), sum(bell(537, 42), bell(620, 20, 0.05)), bell(460, 30)],
  [sum(bell(605, 45), bell(520, 30, 0.1)), bell(535, 50), sum(bell(455, 32), bell(540, 25, 0.08))],
  [bell(620, 26), bell(530, 32), bell(450, 22)],
]
const LIGHTS: [string, Spectrum][] = [
  ['D50', ILLUMINANT_D50],
  ['FL11', LAMPS.FL11],
  ['LED-B1', LAMPS['LED-B1']],
]

/** 600 mixtures of artists' watercolours: Chen et al. 2019, arXiv:1904.00275 (NTU WPSM data). */
const PAINTS = new URL('../../../../shared/data/spectra/watercolour-reflectances-600.csv', import.meta.url)
export const paintsThere = existsSync(PAINTS)

/** Every `step`th of the 600 reflectances, brought to 5 nm. */
export function paintSpectra(step: number): number[][] {
  return readFileSync(PAINTS, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .filter((_, k) => k % step === 0)
    .map((line) => {
      const tens = line.split(',').map(Number)
      return NM.map((_, i) => (i % 2 ? (tens[(i - 1) / 2] + tens[(i + 1) / 2]) / 2 : tens[i / 2]))
    })
}

/** The chart's 24 reflectances: Ohta 1997. */
export const CHART_SPECTRA: readonly Spectrum[] = OHTA_1997

export const labOfSpectrum = (reflectance: Spectrum): Triple => xyzD50ToLab(spectrumToXyzD50(NM, reflectance))

/** Three cameras under three lights, each a function from a reflectance to linear channels, white at 1. */
export const SIMULATED = CAMERAS.flatMap((camera, c) =>
  LIGHTS.map(([light, lamp]) => ({
    name: `camera ${c + 1}, ${light}`,
    light,
    see: (reflectance: Spectrum): Triple =>
      camera.map((curve) => {
        const full = curve.reduce((total, v, i) => total + v * lamp[i], 0)
        return curve.reduce((total, v, i) => total + v * lamp[i] * reflectance[i], 0) / full
      }) as Triple,
  })),
)
