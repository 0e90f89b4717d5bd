import type { Finding } from '../findings.js'
import { formatNumber } from './formatNumber.js'
import { type Html, html } from './html.js'
import { roundStep, roundTicks } from './roundTicks.js'

type Plot = Extract<Finding, { kind: 'plot' }>

const WIDTH = 350
const HEIGHT = 230
const LEFT = 56
const BOTTOM = 40
const TOP = 12
const RIGHT = 14
/** Dash patterns tell the series apart on paper as well as on a screen. */
const DASHES = ['', '6 3', '2 3', '9 3 2 3']

/** A line plot as inline SVG, round numbers on the axes. */
export function plotSvg({ title, xLabel, yLabel, series }: Plot): Html {
  const xs = series.flatMap(({ points }) => points.map(([x]) => x)).filter(Number.isFinite)
  const ys = series.flatMap(({ points }) => points.map(([, y]) => y)).filter(Number.isFinite)
  const [x0, x1] = range(xs)
  const [y0, y1] = widened(range(ys))
  const px = (x: number) => LEFT + ((x - x0) / (x1 - x0)) * (WIDTH - LEFT - RIGHT)
  const py = (y: number) => HEIGHT - BOTTOM - ((y - y0) / (y1 - y0)) * (HEIGHT - BOTTOM - TOP)
  return html`<figure class="plot"><svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
${roundTicks(x0, x1).map(
  (x) => html`<line class="grid" x1="${px(x)}" x2="${px(x)}" y1="${TOP}" y2="${HEIGHT - BOTTOM}"/>
<text x="${px(x)}" y="${HEIGHT - BOTTOM + 14}" text-anchor="middle">${formatNumber(x)}</text>`,
)}
${roundTicks(y0, y1).map(
  (y) => html`<line class="grid" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${py(y)}" y2="${py(y)}"/>
<text x="${LEFT - 6}" y="${py(y) + 4}" text-anchor="end">${formatNumber(y)}</text>`,
)}
${series.map(
  ({ points }, i) =>
    html`<polyline class="series" stroke-dasharray="${DASHES[i % DASHES.length]}" points="${points
      .filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y))
      .map(([x, y]) => `${px(x).toFixed(1)},${py(y).toFixed(1)}`)
      .join(' ')}"/>`,
)}
<text x="${(LEFT + WIDTH - RIGHT) / 2}" y="${HEIGHT - 8}" text-anchor="middle">${xLabel}</text>
<text transform="translate(12 ${(TOP + HEIGHT - BOTTOM) / 2}) rotate(-90)" text-anchor="middle">${yLabel}</text>
</svg><figcaption>${title}${
    series.length > 1 &&
    html`: ${series.map(
      ({ name }, i) =>
        html`<span class="key"><svg width="28" height="8"><line class="series" x1="0" x2="28" y1="4" y2="4" stroke-dasharray="${DASHES[i % DASHES.length]}"/></svg> ${name}</span> `,
    )}`
  }</figcaption></figure>`
}

const range = (values: number[]): [number, number] => {
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  if (!Number.isFinite(low)) return [0, 1]
  return low === high ? [low - 1, high + 1] : [low, high]
}

/** A line may pass the last round number by this share of a step; widening for less would leave the plot half empty. */
const BEYOND = 0.05

/** The range widened to round numbers, so that the lines end inside the plot. */
function widened([low, high]: [number, number]): [number, number] {
  const step = roundStep(low, high)
  return [Math.floor(low / step + BEYOND) * step, Math.ceil(high / step - BEYOND) * step]
}
