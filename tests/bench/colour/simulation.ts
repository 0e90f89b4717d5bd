import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import type { Fit } from '../../../src/steps/colour/fit/Fit.js'
import { labOfWorking } from '../../../src/steps/colour/fit/labOfWorking.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import { chartColours } from '../../steps/colour/chartColours.js'
import { seeded } from '../../steps/colour/drawChart.js'
import {
  CHART_SPECTRA,
  labOfSpectrum,
  paintSpectra,
  paintsThere,
  SIMULATED,
} from '../../steps/colour/simulation.js'
import { row } from '../row.js'

/** How many charts of paints are drawn to hold the stated error against the true one. */
const DRAWS = 8

/** The fits on published reflectances that they never saw, three cameras by three lights. */
export function simulation(): void {
  if (!paintsThere) {
    row('simulation', 'left out', 'the reflectances are not beside the checkout')
    return
  }
  const paints = paintSpectra(1)
  const truth = paints.map(labOfSpectrum)
  const labs = CHART_SPECTRA.map(labOfSpectrum)
  const cases = SIMULATED.map(({ name, light, see }) => {
    const seen = paints.map(see)
    const errorOf = (fit: Fit) =>
      mean(seen.map((paint, k) => deltaE2000(labOfWorking(corrected(fit, paint)), truth[k])))
    const { chosen, tried } = chooseFit('auto', chartColours(CHART_SPECTRA.map(see), labs))
    const matrix = errorOf(tried.find(({ fit }) => fit.rung === 'matrix')!.fit)
    const leftOut = mean(chosen.leftOut)
    const max = Math.max(...chosen.leftOut)
    const paint = errorOf(chosen.fit)
    row(
      `${name}: ${chosen.fit.rung}`,
      `${leftOut.toFixed(2)} left out, max ${max.toFixed(1)}`,
      `paints ${paint.toFixed(2)}, by a matrix ${matrix.toFixed(2)}`,
    )
    return { light, leftOut, max, paint, matrix }
  })
  const worst = (of: (one: (typeof cases)[number]) => number) => Math.max(...cases.map(of))
  const average = (of: (one: (typeof cases)[number]) => number) => mean(cases.map(of))
  const asked = (name: string, value: number, most: number, digits = 2) =>
    row(name, value.toFixed(digits), `at most ${most}`, value <= most)
  asked(
    'left-out mean, over all cases',
    average(({ leftOut }) => leftOut),
    1.5,
  )
  asked(
    'left-out mean, worst case',
    worst(({ leftOut }) => leftOut),
    1.5,
  )
  asked(
    'left-out max, worst case',
    worst(({ max }) => max),
    5,
    1,
  )
  asked(
    'unseen paints, worst under D50',
    worst(({ light, paint }) => (light === 'D50' ? paint : 0)),
    2.5,
  )
  asked(
    'beside a plain matrix, over all cases',
    average(({ paint }) => paint) / average(({ matrix }) => matrix),
    0.8,
  )
  asked(
    'beside a plain matrix, worst case',
    worst(({ paint, matrix }) => paint / matrix),
    1,
  )
  const ratios = SIMULATED.map(({ see }) => sameKind(see, paints))
  const ratio = mean(ratios)
  row(
    'stated over true error, same kind',
    ratio.toFixed(2),
    `0.7 to 1.3 (cases ${Math.min(...ratios).toFixed(2)} to ${Math.max(...ratios).toFixed(2)})`,
    ratio >= 0.7 && ratio <= 1.3,
  )
}

/** Charts of 18 paints and the six greys: what is stated of the paints, over the error on paints that were not drawn. */
function sameKind(see: (typeof SIMULATED)[number]['see'], paints: readonly number[][]): number {
  const stated: number[] = []
  const truth: number[] = []
  for (let draw = 0; draw < DRAWS; draw++) {
    const random = seeded(40 + draw)
    const order = paints.map((paint) => ({ paint, key: random() })).sort((a, b) => a.key - b.key)
    const spectra = [...order.slice(0, 18).map(({ paint }) => paint), ...CHART_SPECTRA.slice(18)]
    const { chosen } = chooseFit('auto', chartColours(spectra.map(see), spectra.map(labOfSpectrum)))
    stated.push(...chosen.leftOut.slice(0, 18))
    for (const { paint } of order.slice(18, 118)) {
      truth.push(deltaE2000(labOfWorking(corrected(chosen.fit, see(paint))), labOfSpectrum(paint)))
    }
  }
  return mean(stated) / mean(truth)
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
