import type { CaptureConditions } from '../../colour/exposure/CaptureConditions.js'
import type { Source } from '../../raster/Source.js'
import type { CaptureInfo, ReadContext, Step } from '../contract.js'
import { savedReading } from '../savedReading.js'
import { checkSession, sessionOf } from '../session.js'
import { colourFindings } from './colourFindings.js'
import { correctedSource } from './correctedSource.js'
import { otherLight } from './exposure/otherLight.js'
import { paperTint } from './exposure/paperTint.js'
import { tie } from './exposure/tie.js'
import { tiedFit } from './exposure/tiedFit.js'
import { BUILT_IN, type Params, params } from './params.js'
import { type ChartReading, type Reading, reading as readingSchema } from './Reading.js'
import { readChart } from './readChart.js'
import { referenceFor } from './referenceFor.js'

/** Colour measured from a patch chart in the same light, or the captures' profiles alone. */
export const colour: Step<Params, Reading> = {
  name: 'colour',
  summary:
    'corrects colour from a patch chart in the same light, with the error stated; else the profiles stand',
  scope: 'capture',
  effort: { read: 1, apply: 0.018 },
  params,

  auxiliaries({ chart, reference, reading }) {
    const builtIn = (BUILT_IN as readonly string[]).includes(reference)
    if (reading) return [{ key: 'reading', path: reading, kind: 'text' }]
    return [
      ...(chart ? [{ key: 'chart', path: chart, kind: 'capture' as const }] : []),
      ...(chart && !builtIn ? [{ key: 'reference', path: reference, kind: 'text' as const }] : []),
    ]
  },

  async read(_sources, given, context) {
    if (given.reading) {
      const saved = savedReading(
        await context.auxiliaryText(given.reading),
        given.reading,
        'colour',
        readingSchema,
      )
      return saved.kind === 'chart' ? usedAgain(saved, given, context) : saved
    }
    if (!given.chart) return { kind: 'no-chart' }
    const reference = await referenceFor(given, context)
    context.progress(0.05)
    const { source, info } = await context.auxiliaryCapture(given.chart)
    const capture = { source, label: info.label, deviceToWorking: info.deviceToWorking }
    const reading = await readChart(capture, reference, given, (share) => {
      context.checkCancelled()
      context.progress(0.1 + 0.8 * share)
    })
    return inTheirLight(reading, { source, ...info }, given, context)
  },

  apply(sources, reading) {
    if (reading.kind === 'no-chart') return [...sources]
    const gains = reading.exposure?.gains
    return sources.map((source, i) =>
      // An auxiliary capture of a later step comes alone, and as it was exposed.
      correctedSource(source, tiedFit(reading.fit, gains?.length === sources.length ? gains[i] : 1)),
    )
  },

  findings: colourFindings,
  measuresDevice: ({ chart, reading }) => Boolean(chart || reading),
}

/** Ties the painting's captures to the chart: their exposures, and whether they lay in the chart's light. */
async function inTheirLight(
  reading: ChartReading,
  chart: CaptureInfo & { source: Source },
  given: Params,
  context: ReadContext,
): Promise<ChartReading> {
  const exposure = await tie(given.exposure, chart, reading, context)
  const neutral = context.neutral && otherLight(chart.label, context.neutral, reading.fit)
  // Paper in both captures has been compared by the tie already.
  const tint = neutral || exposure.by === 'paper' ? [] : await paperTint(chart.label, reading.fit, context)
  return {
    ...reading,
    exposure,
    ...(chart.conditions && { conditions: { ...chart.conditions } }),
    session: sessionOf(context.captures, context.neutral),
    statements: [
      ...reading.statements,
      ...(neutral
        ? [
            `The board, corrected by the chart, is ${neutral.apart.toFixed(1)} from neutral (a*b* at L* 80): a check that both lay in one light.`,
          ]
        : []),
    ],
    warnings: [...reading.warnings, ...(neutral?.warnings ?? []), ...tint, ...otherDevice(chart, context)],
  }
}

/** A reading of an earlier run, checked against this one's session and tied to this one's captures. */
async function usedAgain(saved: ChartReading, given: Params, context: ReadContext): Promise<ChartReading> {
  const told = { where: given.reading!, step: 'colour', anyway: given['trust-reading'] }
  const reuse = checkSession(saved.session, sessionOf(context.captures, context.neutral), told)
  const chart = { label: saved.chart.label, conditions: saved.conditions as CaptureConditions | undefined }
  return { ...saved, exposure: await tie(given.exposure, chart, saved, context), reused: true, reuse }
}

/** Files that say another device, or another kind of light, for the chart than for the painting. */
function otherDevice(chart: CaptureInfo, { captures }: ReadContext): string[] {
  const differing = (of: (info: CaptureInfo) => string | undefined) => {
    const own = of(chart)
    const other = own && captures.map(of).find((one) => one && one !== own)
    return other && `${own} instead of ${other}`
  }
  const device = differing(({ conditions }) => conditions?.device)
  const light = differing(({ conditions }) => conditions?.light)
  return [
    ...(device
      ? [`${chart.label}: the chart was captured by another device (${device}), which sees other colours`]
      : []),
    ...(light ? [`${chart.label}: by their files, the chart lay in another light (${light})`] : []),
  ]
}
