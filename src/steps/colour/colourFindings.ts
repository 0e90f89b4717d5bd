import type { Finding } from '../../findings.js'
import { reuseWords } from '../session.js'
import { drawOutline } from './drawOutline.js'
import { lightness } from './find/lightView.js'
import { toLight } from './fit/toLight.js'
import { errorsOf, GUIDELINES, levelReached, percentile } from './guidelines.js'
import { patchPicture } from './patchPicture.js'
import type { ChartReading, Reading } from './Reading.js'
import { snapshotPicture } from './snapshot.js'

const UNIT = 'dE2000'

/** What the step has to say. */
export function colourFindings(reading: Reading): Finding[] {
  if (reading.kind === 'no-chart') {
    return [
      {
        kind: 'statement',
        text: "No chart: colour is what the captures' profiles say, and no error can be stated. Capture a 24-patch chart in the same light to measure it.",
      },
    ]
  }
  return [
    ...warnings(reading),
    ...numbers(reading),
    ...statements(reading),
    ...pictures(reading),
    ...tonePlot(reading),
    guidelineTable(reading),
    patchTable(reading),
  ]
}

function warnings({ warnings, reused, chart, exposure, reuse }: ChartReading): Finding[] {
  const again = reused
    ? [
        `The colour reading is of an earlier run (chart ${chart.label}); it holds only while lamp, device, settings and profile stay the same`,
      ]
    : []
  const differs = reuse ? reuseWords(reuse).warning : undefined
  return [...warnings, ...(exposure?.warnings ?? []), ...again, ...(differs ? [differs] : [])].map(
    (text) => ({
      kind: 'warning',
      text,
    }),
  )
}

function numbers({ patches, greys: greyIndices }: ChartReading): Finding[] {
  const before = patches.map((patch) => patch.before)
  const after = patches.map((patch) => patch.after)
  const leftOut = patches.flatMap((patch) => (patch.leftOut === null ? [] : [patch.leftOut]))
  const greys = greyIndices.map((k) => patches[k].after)
  const number = (name: string, value: number): Finding => ({ kind: 'number', name, value, unit: UNIT })
  const [paintings, edition2023] = GUIDELINES
  return [
    number('mean dE2000 before', mean(before)),
    {
      kind: 'number',
      name: 'mean dE2000',
      value: mean(after),
      unit: UNIT,
      target: `< 2 (${paintings.name}, 4 star)`,
      source: paintings.source,
      pass: mean(after) < 2,
    },
    number('median dE2000', percentile(after, 0.5)),
    {
      kind: 'number',
      name: '90th percentile dE2000',
      value: percentile(after, 0.9),
      unit: UNIT,
      target: `< 4 (${edition2023.name}, 4 star; secondary source)`,
      source: edition2023.source,
      pass: percentile(after, 0.9) < 4,
    },
    number('max dE2000', Math.max(...after)),
    number('greys mean dE2000', mean(greys)),
    number('greys max dE2000', Math.max(...greys)),
    number('left-out mean dE2000', mean(leftOut)),
    number('left-out 90th percentile dE2000', percentile(leftOut, 0.9)),
    number('left-out max dE2000', Math.max(...leftOut)),
  ]
}

function statements({ statements, reference, exposure, reuse }: ChartReading): Finding[] {
  const unknown = reuse ? reuseWords(reuse).statement : undefined
  return [
    ...statements,
    ...(exposure ? [exposure.statement] : []),
    ...(unknown ? [unknown] : []),
    `Reference: ${reference.description} (${reference.source}).`,
    'The left-out figures are the honest ones: each patch judged by a fit that has not seen it.',
  ].map((text) => ({ kind: 'statement', text }))
}

function pictures({ snapshot, patches, fit, chart }: ChartReading): Finding[] {
  const found = snapshotPicture(snapshot)
  snapshot.outlines.forEach((outline, k) => {
    // The first patch's outline stands out: it shows which way the chart was taken to lie.
    drawOutline(found, outline, k === 0 ? [255, 0, 255] : [255, 255, 255])
  })
  return [
    {
      kind: 'picture',
      title: 'The chart as found',
      caption: `Only what lies inside the outlines is read. The magenta outline is the first patch, ${patches[0].name}.`,
      picture: found,
    },
    {
      kind: 'picture',
      title: 'Measured against reference',
      caption: `Each patch after the correction (${fit.rung}), with its reference in the middle: where no inner square shows, they agree.`,
      picture: patchPicture(patches, chart.columns),
    },
  ]
}

/** What each channel's numbers stand for, where they do not run with the light. */
function tonePlot({ fit, tone }: ChartReading): Finding[] {
  if (tone === 'straight' || fit.rung === 'none') return []
  const shares = Array.from({ length: 61 }, (_, i) => (i / 60) ** 3)
  return [
    {
      kind: 'plot',
      title: 'Tone of each channel, from the greys',
      xLabel: 'captured number, as L*',
      yLabel: 'light meant, as L*',
      series: ['red', 'green', 'blue'].map((name, c) => ({
        name,
        points: shares.map((share): [number, number] => [
          lightness(share),
          lightness(toLight(share, fit.tone[c])),
        ]),
      })),
    },
  ]
}

/** The level reached in each published guideline, after the fit. */
function guidelineTable(reading: ChartReading): Finding {
  const errors = errorsOf(reading)
  return {
    kind: 'table',
    title: 'Levels of published imaging guidelines, by the errors after the fit',
    columns: ['guideline', 'quality', 'level reached', 'which asks', 'values from'],
    rows: GUIDELINES.map((guideline) => {
      const reached = levelReached(guideline, errors)
      const last = guideline.levels[guideline.levels.length - 1]
      return [
        guideline.name,
        guideline.quality,
        reached?.level ?? 'none',
        reached?.asks ?? `${last.asks} for ${last.level}`,
        `${guideline.secondary ? 'secondary source: ' : ''}${guideline.source}`,
      ]
    }),
  }
}

function patchTable({ patches }: ChartReading): Finding {
  const lab = (value: readonly number[]) => value.map((v) => v.toFixed(1)).join(' ')
  return {
    kind: 'table',
    title: `The ${patches.length} patches (CIELAB D50; errors in dE2000)`,
    columns: ['name', 'reference', 'after', 'before', 'after', 'left out', 'noise %'],
    rows: patches.map((patch) => [
      patch.name,
      lab(patch.referenceLabD50),
      lab(patch.afterLabD50),
      patch.before.toFixed(2),
      patch.after.toFixed(2),
      patch.leftOut === null ? 'not used' : patch.leftOut.toFixed(2),
      patch.noisePercent.toFixed(1),
    ]),
  }
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
