import { EDITIONS } from '../../colour/charts/builtInReference.js'
import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { deltaE2000 } from '../../colour/deltaE2000.js'
import type { ChartColours } from './fit/ChartColours.js'
import type { Triple } from './fit/Fit.js'
import { fitRung } from './fit/fitRung.js'
import type { ToneKind } from './fit/fitTone.js'
import { labOfWorking } from './fit/labOfWorking.js'
import { straighten } from './fit/straighten.js'
import { corrected } from './fit/terms.js'

/** Another edition must bring the mean error below this share of the own one's, and by this much, to be named. */
const CLEARLY = 0.85
const CLEARLY_DELTA_E = 0.15

/** Says so where another built-in edition of the chart fits clearly better, judged by the same kind of fit. */
export function editionWarning(reference: ChartReference, chart: ChartColours, tone: ToneKind): string[] {
  if (!EDITIONS.includes(reference)) return []
  const own = matrixError(chart, tone)
  return EDITIONS.filter((edition) => edition !== reference).flatMap((edition) => {
    const other = matrixError({ ...chart, labD50: edition.labD50.map((lab): Triple => [...lab]) }, tone)
    if (other > CLEARLY * own || own - other < CLEARLY_DELTA_E) return []
    return [
      `The chart fits ${edition.name} better than ${reference.name} (mean ${other.toFixed(2)} against ${own.toFixed(2)} dE2000 with the same kind of fit): ${edition.description}? Then write colour: { reference: ${edition.name} }`,
    ]
  })
}

function matrixError(chart: ChartColours, tone: ToneKind): number {
  const { used, labD50 } = chart
  const straight = straighten(chart, tone, used)
  const fit = fitRung('matrix', chart, straight, used)
  const errors = used.map((k) => deltaE2000(labOfWorking(corrected(fit, straight.evened[k])), [...labD50[k]]))
  return errors.reduce((sum, v) => sum + v, 0) / errors.length
}
