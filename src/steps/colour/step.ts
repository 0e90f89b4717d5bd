import type { Step } from '../contract.js'
import { savedReading } from '../savedReading.js'
import { colourFindings } from './colourFindings.js'
import { correctedSource } from './correctedSource.js'
import { BUILT_IN, type Params, params } from './params.js'
import { type Reading, reading as readingSchema } from './Reading.js'
import { readChart } from './readChart.js'
import { referenceFor } from './referenceFor.js'

/** Colour measured from a 24-patch chart in the same light, or the captures' profiles alone. */
export const colour: Step<Params, Reading> = {
  name: 'colour',
  summary:
    'corrects colour from a 24-patch chart in the same light, with the error stated; else the profiles stand',
  scope: 'capture',
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
      return saved.kind === 'chart' ? { ...saved, reused: true } : saved
    }
    if (!given.chart) return { kind: 'no-chart' }
    const reference = await referenceFor(given, context)
    context.progress(0.05)
    const { source, info } = await context.auxiliaryCapture(given.chart)
    const capture = { source, label: info.label, deviceToWorking: info.deviceToWorking }
    return readChart(capture, reference, given, (share) => {
      context.checkCancelled()
      context.progress(0.1 + 0.9 * share)
    })
  },

  apply(sources, reading) {
    if (reading.kind === 'no-chart') return [...sources]
    return sources.map((source) => correctedSource(source, reading.fit))
  },

  findings: colourFindings,
}
