import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { mapPoint } from './find/homography.js'
import type { ChosenFit } from './fit/chooseFit.js'
import type { LocatedChart } from './locateChart.js'
import type { Params } from './params.js'
import type { ChartReading } from './Reading.js'

/** What was decided on the way from a chart's capture to the fit, and why. */
export function statementsOf(
  { layout, labD50 }: ChartReference,
  located: LocatedChart,
  { chosen, tone, tonesTried, straight }: ChosenFit,
  wanted: Params['fit'],
  scores: ChartReading['tried'],
  unevenPercent: number,
): string[] {
  const { name } = layout.patches[straight.anchor]
  return [
    whereItLies(located, layout.columns),
    ...(unevenPercent > 0
      ? [
          `The light changes by ${unevenPercent.toFixed(1)} % across the patches, measured inside them; it was evened out before the fit, to the light at the chart's middle.`,
        ]
      : []),
    ...toneWords(tone, tonesTried, chosen.fit.tone),
    choiceWords(wanted, chosen.fit.rung, scores),
    ...(chosen.choices > 1
      ? [
          `It is the mean of ${chosen.choices} fits that use different roots: patches left out cannot tell them apart by more than a twentieth.`,
        ]
      : []),
    ...(chosen.fit.rung === 'none'
      ? ['Colour stays as the capture has it; the errors stated are those of the capture.']
      : [
          `The ${name} patch is met exactly (L* ${labD50[straight.anchor][0].toFixed(1)}), which fixes exposure and grey balance; numbers are relative to the perfect diffuser, as the reference states them.`,
        ]),
  ]
}

function whereItLies({ toPicture, foundBy, confidence }: LocatedChart, columns: number): string {
  const [x0, y0] = mapPoint(toPicture, [0, 0])
  const [x1, y1] = mapPoint(toPicture, [columns - 1, 0])
  const degrees = (Math.atan2(y1 - y0, x1 - x0) * 180) / Math.PI
  const how = foundBy === 'search' ? 'The chart was found' : 'The chart lies between the corners given'
  return `${how}; its rows run at ${degrees.toFixed(0)} degrees to the picture's (0 = upright, clockwise), confidence ${confidence.toFixed(2)} of 1.`
}

function toneWords(
  tone: ChosenFit['tone'],
  tried: ChosenFit['tonesTried'],
  channels: ChosenFit['chosen']['fit']['tone'],
): string[] {
  if (tried.length < 2) return []
  const list = tried.map(({ tone: name, leftOut }) => `${name} ${leftOut.toFixed(2)}`).join(', ')
  const why = `(mean left-out dE2000 with a matrix: ${list})`
  if (tone === 'straight') return [`The greys run with the light: no tone curve is needed ${why}.`]
  if (tone === 'flare') {
    const flare = channels.map((channel) => `${(100 * channel.flare).toFixed(1)} %`).join(', ')
    return [
      `Stray light was taken off: ${flare} of white in the red, green and blue channel, estimated from the greys ${why}.`,
    ]
  }
  return [
    `The capture's numbers do not run with the light; each channel was straightened by a curve from the greys first ${why}.`,
  ]
}

function choiceWords(wanted: Params['fit'], rung: string, scores: ChartReading['tried']): string {
  if (wanted !== 'auto') return `The fit is ${rung}, as the pipeline asks.`
  const list = scores.map(({ rung: name, leftOut }) => `${name} ${leftOut.toFixed(2)}`).join(', ')
  return `The fit is ${rung}: the simplest that no other beats by more than a twentieth on patches it has not seen (mean left-out dE2000: ${list}).`
}
