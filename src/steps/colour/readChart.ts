import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { deltaE2000 } from '../../colour/deltaE2000.js'
import { IDENTITY3, invert3, type Matrix3 } from '../../colour/matrix3.js'
import { RequestError } from '../../errors.js'
import type { Source } from '../../raster/Source.js'
import { unevenPercent } from './chartLight.js'
import { chartWarnings } from './chartWarnings.js'
import { MOST, roughPatches, strangePatches } from './doubtful.js'
import { editionWarning } from './editionWarning.js'
import type { ChartColours } from './fit/ChartColours.js'
import { chooseFit } from './fit/chooseFit.js'
import type { Triple } from './fit/Fit.js'
import { FIELD_PATCHES } from './fit/fitField.js'
import { labOfWorking } from './fit/labOfWorking.js'
import { corrected } from './fit/terms.js'
import { locateChart } from './locateChart.js'
import type { Params } from './params.js'
import type { ChartReading } from './Reading.js'
import { sampleChart } from './sampleChart.js'
import { CLIPPED_PERCENT } from './samplePatch.js'
import { snapshotOf } from './snapshotOf.js'
import { statementsOf } from './statements.js'
import { usableGreys } from './usableGreys.js'

/** A chart's capture. */
export interface ChartCapture {
  source: Source
  /** Its name, for messages. */
  label: string
  /** Row-major 3x3, from the device's own linear channels to the working space; where unknown, the working space's. */
  deviceToWorking?: Matrix3
}

/**
 * Reads a chart's capture and fits the correction to it.
 * @throws WorkError where no chart is found; RequestError where it cannot be used
 */
export async function readChart(
  { source, label, deviceToWorking = IDENTITY3 }: ChartCapture,
  reference: ChartReference,
  { corners, fit: wanted }: Pick<Params, 'corners' | 'fit'>,
  onProgress: (share: number) => void,
): Promise<ChartReading> {
  const labD50 = reference.labD50.map((lab): Triple => [...lab])
  const located = await locateChart(source, label, corners, reference, (share) => onProgress(0.6 * share))
  const { layout } = located
  if (wanted === 'smooth' && labD50.length < FIELD_PATCHES) {
    throw new RequestError({
      where: 'colour.fit',
      what: `smooth needs a chart of ${FIELD_PATCHES} patches or more`,
      found: `${labD50.length} patches`,
      todo: 'Write fit: auto, or use an ISO 12641-1 target',
    })
  }
  const toDevice = invert3(deviceToWorking)
  const samples = sampleChart(source, label, layout, located, toDevice)
  onProgress(0.7)
  const greys = usableGreys(samples, layout, toDevice, label)
  const rough = roughPatches(samples, labD50).filter((k) => greys.indexOf(k) !== 0)
  const whole = {
    linear: samples.map(({ linear }) => linear),
    slopes: samples.map(({ slope }) => slope),
    places: layout.patches.map(({ at: [column, row] }) => ({
      u: column - (layout.columns - 1) / 2,
      v: row - (layout.rows - 1) / 2,
    })),
    labD50,
    used: samples.flatMap(({ clippedPercent }, k) =>
      clippedPercent > CLIPPED_PERCENT || rough.includes(k) ? [] : [k],
    ),
    greys,
    deviceToWorking,
  }
  const { fitted, chart, strange, many } = fitWithoutStrange(wanted, whole)
  onProgress(0.95)
  const { chosen, straight, tried, tone } = fitted
  const uneven = unevenPercent(straight.light, chart.places)
  const patches = samples.map((sample, k) => {
    const measuredLabD50 = labOfWorking(sample.linear)
    const afterLabD50 = labOfWorking(corrected(chosen.fit, straight.evened[k]))
    return {
      name: layout.patches[k].name,
      referenceLabD50: labD50[k],
      measured: straight.evened[k],
      measuredLabD50,
      afterLabD50,
      before: deltaE2000(measuredLabD50, labD50[k]),
      after: deltaE2000(afterLabD50, labD50[k]),
      leftOut: chart.used.includes(k) ? chosen.leftOut[chart.used.indexOf(k)] : null,
      noisePercent: sample.noisePercent,
      clippedPercent: sample.clippedPercent,
    }
  })
  const scores = tried.map(({ fit, after, leftOut }) => ({
    rung: fit.rung,
    after: mean(after),
    leftOut: mean(leftOut),
  }))
  return {
    kind: 'chart',
    format: 2,
    chart: {
      label,
      widthPx: source.width,
      heightPx: source.height,
      title: layout.title,
      columns: layout.columns,
      rows: layout.rows,
      toPicture: located.toPicture,
      patchShare: located.patchShare,
      foundBy: located.foundBy,
      confidence: located.confidence,
      unevenPercent: uneven,
    },
    reference: { name: reference.name, description: reference.description, source: reference.source },
    fit: chosen.fit,
    tried: scores,
    tone,
    anchor: straight.anchor,
    greys: [...layout.greys],
    patches,
    statements: statementsOf(reference, located, fitted, wanted, scores, uneven),
    warnings: [
      ...chartWarnings(
        patches,
        samples,
        { rough, strange, many },
        located,
        uneven,
        chosen.fit,
        straight.anchor,
        layout.greys,
        label,
      ),
      ...editionWarning(reference, chart, tone),
    ],
    snapshot: snapshotOf(located),
  }
}

/**
 * What is not the chart's own colour must not bend the fit: patches far off while the rest fits are left out, and again
 * where others come to light behind them.
 */
function fitWithoutStrange(wanted: Params['fit'], whole: ChartColours) {
  let chart = whole
  const strange: number[] = []
  for (;;) {
    const fitted = chooseFit(wanted, chart)
    const { leftOut } = fitted.chosen
    const found = strangePatches(
      whole.labD50.map((_, k) => (chart.used.includes(k) ? leftOut[chart.used.indexOf(k)] : null)),
    ).filter((k) => k !== fitted.straight.anchor)
    if (strange.length + found.length > MOST * whole.labD50.length) {
      return { fitted, chart, strange, many: found }
    }
    if (found.length === 0) return { fitted, chart, strange, many: [] }
    strange.push(...found)
    chart = { ...whole, used: whole.used.filter((k) => !strange.includes(k)) }
  }
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
