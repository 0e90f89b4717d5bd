import { EDITIONS } from '../../colour/charts/builtInReference.js'
import type { ChartReference } from '../../colour/charts/ChartReference.js'
import {
  CHART24_COLUMNS,
  CHART24_GREYS,
  CHART24_NAMES,
  CHART24_ROWS,
  CHART24_WHITE,
  chart24Position,
} from '../../colour/charts/chart24.js'
import { deltaE2000 } from '../../colour/deltaE2000.js'
import { RequestError } from '../../errors.js'
import type { Source } from '../../raster/Source.js'
import { chartLight, inMiddleLight, unevenPercent } from './chartLight.js'
import { CLIPPED_PERCENT, chartWarnings } from './chartWarnings.js'
import { mapPoint } from './find/homography.js'
import { chooseFit } from './fit/chooseFit.js'
import type { Triple } from './fit/Fit.js'
import { fitRung } from './fit/fitRung.js'
import { labOfWorking } from './fit/labOfWorking.js'
import { corrected } from './fit/terms.js'
import { type LocatedChart, locateChart } from './locateChart.js'
import type { Params } from './params.js'
import type { ChartReading } from './Reading.js'
import { type PatchSample, readCorners, samplePatch } from './samplePatch.js'
import { takeSnapshot } from './snapshot.js'

/** Light that changes less than this across the chart is within what noise could feign, and is let be. */
const EVENED_PERCENT = 2

/**
 * Reads a chart's capture and fits the correction to it.
 * @param label the capture's name, for messages
 * @throws WorkError where no chart is found; RequestError where it cannot be used
 */
export async function readChart(
  source: Source,
  label: string,
  reference: ChartReference,
  { corners, fit: wanted }: Pick<Params, 'corners' | 'fit'>,
  onProgress: (share: number) => void,
): Promise<ChartReading> {
  const labD50 = reference.labD50.map((lab): Triple => [...lab])
  const located = await locateChart(source, label, corners, labD50, (share) => onProgress(0.6 * share))
  const samples = sampleAll(source, label, located)
  onProgress(0.7)
  const light = chartLight(samples)
  const uneven = unevenPercent(light)
  const evened = uneven > EVENED_PERCENT
  const measured = samples.map(({ linear }, k) => (evened ? inMiddleLight(linear, k, light) : linear))
  const clipped = samples.map(({ clippedPercent }) => clippedPercent > CLIPPED_PERCENT)
  const [anchor, nextAnchor] = CHART24_GREYS.filter((k) => !clipped[k])
  if (nextAnchor === undefined || nextAnchor > CHART24_WHITE + 3) {
    throw new RequestError({
      where: label,
      what: 'the chart is clipped: its light greys are at the end of the scale',
      todo: "Capture the chart again with less exposure, the same as the painting's",
    })
  }
  if (!measured[anchor].every((v) => v > 0.01)) {
    throw new RequestError({
      where: label,
      what: 'the chart holds too little light to be measured',
      found: `${(100 * Math.min(...measured[anchor])).toFixed(1)} % of full scale in the ${CHART24_NAMES[anchor]} patch`,
      todo: "Capture the chart again with more exposure, the same as the painting's",
    })
  }
  const used = labD50.map((_, k) => k).filter((k) => !clipped[k])
  const data = { measured, labD50, used, anchor }
  const { chosen, tried } = chooseFit(wanted, data, nextAnchor)
  onProgress(0.95)
  const patches = samples.map((sample, k) => {
    const measuredLabD50 = labOfWorking(sample.linear)
    const afterLabD50 = labOfWorking(corrected(chosen.fit, measured[k]))
    return {
      name: CHART24_NAMES[k],
      referenceLabD50: labD50[k],
      measured: measured[k],
      measuredLabD50,
      afterLabD50,
      before: deltaE2000(measuredLabD50, labD50[k]),
      after: deltaE2000(afterLabD50, labD50[k]),
      leftOut: used.includes(k) ? chosen.leftOut[used.indexOf(k)] : null,
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
    format: 1,
    chart: {
      label,
      widthPx: source.width,
      heightPx: source.height,
      toPicture: located.toPicture,
      patchShare: located.patchShare,
      foundBy: located.foundBy,
      confidence: located.confidence,
      unevenPercent: uneven,
    },
    reference: { name: reference.name, description: reference.description, source: reference.source },
    fit: chosen.fit,
    tried: scores,
    anchor,
    patches,
    statements: [
      whereItLies(located),
      ...(evened
        ? [
            `The light changes by ${uneven.toFixed(1)} % across the patches, measured inside them; it was evened out before the fit, to the light at the chart's middle.`,
          ]
        : []),
      choiceWords(wanted, chosen.fit.rung, scores),
      `The ${CHART24_NAMES[anchor]} patch is met exactly (L* ${labD50[anchor][0].toFixed(1)}), which fixes exposure and grey balance; numbers are relative to the perfect diffuser, as the reference states them.`,
    ],
    warnings: [
      ...chartWarnings(patches, located, uneven, anchor, label),
      ...editionWarning(reference, data, mean(chosen.after)),
    ],
    snapshot: snapshotOf(located),
  }
}

function sampleAll(source: Source, label: string, { toPicture, patchShare }: LocatedChart): PatchSample[] {
  return CHART24_NAMES.map((name, k) => {
    const sample = samplePatch(
      source,
      toPicture,
      patchShare,
      k % CHART24_COLUMNS,
      Math.floor(k / CHART24_COLUMNS),
    )
    if (sample) return sample
    throw new RequestError({
      where: label,
      what: `the ${name} patch (${chart24Position(k)}) lies outside the picture or holds no pixel`,
      expected: 'all 24 patches in the frame',
      todo: 'Capture the whole chart, larger in the frame',
    })
  })
}

function whereItLies({ toPicture, foundBy, confidence }: LocatedChart): string {
  const [x0, y0] = mapPoint(toPicture, [0, 0])
  const [x1, y1] = mapPoint(toPicture, [CHART24_COLUMNS - 1, 0])
  const degrees = (Math.atan2(y1 - y0, x1 - x0) * 180) / Math.PI
  const how = foundBy === 'search' ? 'The chart was found' : 'The chart lies between the corners given'
  return `${how}; its rows run at ${degrees.toFixed(0)} degrees to the picture's (0 = upright, clockwise), confidence ${confidence.toFixed(2)} of 1.`
}

function choiceWords(wanted: Params['fit'], rung: string, scores: ChartReading['tried']): string {
  if (wanted !== 'auto') return `The fit is ${rung}, as the pipeline asks.`
  const list = scores.map(({ rung: name, leftOut }) => `${name} ${leftOut.toFixed(2)}`).join(', ')
  return `The fit is ${rung}: the simplest that no other beats by more than a twentieth on patches it has not seen (mean left-out dE2000: ${list}).`
}

/** Says so where another built-in edition of the chart fits clearly better. */
function editionWarning(
  reference: ChartReference,
  data: Parameters<typeof fitRung>[1],
  meanAfter: number,
): string[] {
  if (!EDITIONS.includes(reference)) return []
  return EDITIONS.filter((edition) => edition !== reference).flatMap((edition) => {
    const labD50 = edition.labD50.map((lab): Triple => [...lab])
    const own = matrixError(data)
    const other = matrixError({ ...data, labD50 })
    if (other > 0.85 * own || own - other < 0.15 || meanAfter < 0.3) return []
    return [
      `The chart fits ${edition.name} better than ${reference.name} (mean ${other.toFixed(2)} against ${own.toFixed(2)} dE2000 with the same kind of fit): ${edition.description}? Then write colour: { reference: ${edition.name} }`,
    ]
  })
}

function matrixError(data: Parameters<typeof fitRung>[1]): number {
  const fit = fitRung('matrix', data)
  return mean(
    data.used.map((k) => deltaE2000(labOfWorking(corrected(fit, data.measured[k])), [...data.labD50[k]])),
  )
}

/** The chart with a margin, and what is read of each patch, in the snapshot's pixels. */
function snapshotOf({ toPicture, patchShare, view }: LocatedChart): ChartReading['snapshot'] {
  const outer = [
    [-0.9, -0.9],
    [CHART24_COLUMNS - 0.1, -0.9],
    [CHART24_COLUMNS - 0.1, CHART24_ROWS - 0.1],
    [-0.9, CHART24_ROWS - 0.1],
  ].map(([u, v]) => mapPoint(toPicture, [u, v]).map((value) => value / view.factor))
  const clamp = (value: number, most: number) => Math.min(most, Math.max(0, Math.round(value)))
  const xs = outer.map(([x]) => clamp(x, view.width))
  const ys = outer.map(([, y]) => clamp(y, view.height))
  const [x, y] = [Math.min(...xs), Math.min(...ys)]
  const crop = { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y }
  const { snapshot, scale } = takeSnapshot(view, crop)
  const outlines = CHART24_NAMES.map((_, k) =>
    readCorners(toPicture, patchShare, k % CHART24_COLUMNS, Math.floor(k / CHART24_COLUMNS)).map(
      ([px, py]): [number, number] => [(px / view.factor - x) * scale, (py / view.factor - y) * scale],
    ),
  )
  return { ...snapshot, outlines }
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
