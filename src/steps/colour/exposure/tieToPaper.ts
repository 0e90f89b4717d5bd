import { type ExposureTie, list, tooFar } from '../../../colour/exposure/tieExposures.js'
import { WorkError } from '../../../errors.js'
import type { Source } from '../../../raster/Source.js'
import type { ReadContext } from '../../contract.js'
import { labAt80 } from '../../session.js'
import { measureWindow, type PaperWindow } from '../../shared/paper/PaperWindow.js'
import { windowsOver } from '../../shared/paper/windowsOver.js'
import { invertHomography, mapPoint } from '../find/homography.js'
import type { Fit } from '../fit/Fit.js'
import { corrected } from '../fit/terms.js'
import type { ChartReading } from '../Reading.js'
import { otherLightWords } from './otherLight.js'
import { paperTone } from './paperTone.js'

const WINDOWS = 400
const NO_BLACK = [0, 0, 0]
/** Around the chart lies its own frame: this many patch distances. */
const MARGIN = 1.2
/** Paper whose tint differs by more than this (a*b* at L* 80) lay in another light, or is another paper. */
const OTHER_TINT = 3

/**
 * Ties the captures to the chart's exposure by the sheet's blank paper, which must show beside the chart too: what its
 * light in the chart's capture is to that in each of the others.
 * @throws WorkError where a capture shows no blank paper
 */
export async function tieToPaper(
  chart: { source: Source; label: string; reading: Pick<ChartReading, 'chart' | 'fit'> },
  context: ReadContext,
): Promise<ExposureTie> {
  const { source, label, reading } = chart
  const beside = windowsOver(source, WINDOWS)
    .filter((rect) => outside(reading.chart, rect))
    .map((rect) => measureWindow(source.region(rect), placeOf(rect, 0, source), NO_BLACK))
  const reference = paperTone(beside)
  if (!reference) throw noPaper(label)
  const tones: [number, number, number][] = []
  for (const [capture, info] of context.captures.entries()) {
    context.checkCancelled()
    const rects = windowsOver(info, WINDOWS)
    const tiles = await context.regions(capture, rects)
    const tone = paperTone(
      tiles.map((tile) => measureWindow(tile, placeOf(tile.rect, capture, info), NO_BLACK)),
    )
    if (!tone) throw noPaper(info.label)
    tones.push(tone)
  }
  const gains = tones.map((tone) => reference[1] / tone[1])
  const apart = Math.max(...tones.map((tone) => tintApart(reading.fit, reference, tone)))
  return {
    by: 'paper',
    gains,
    statement: `The painting's captures are brought to the chart's exposure by the blank paper that shows in both: ${list(context.captures, gains)}. It is assumed to be the same paper, lit as the chart is; its tint differs by ${apart.toFixed(1)} (a*b* at L* 80).`,
    warnings: [
      ...tooFar(context.captures, gains),
      ...(apart > OTHER_TINT ? [otherLightWords(label, "the sheet's blank paper", apart)] : []),
    ],
  }
}

function tintApart(fit: Fit, one: [number, number, number], other: [number, number, number]): number {
  // Brought to one exposure first: with a bent tone the tint would depend on it.
  const scale = one[1] / other[1]
  const [, a, b] = labAt80(corrected(fit, one))
  const [, c, d] = labAt80(corrected(fit, other.map((v) => v * scale) as [number, number, number]))
  return Math.hypot(a - c, b - d)
}

type Size = { width: number; height: number }

const placeOf = (
  { x, y, width, height }: { x: number; y: number } & Size,
  capture: number,
  whole: Size,
): Pick<PaperWindow, 'capture' | 'u' | 'v'> => ({
  capture,
  u: (x + width / 2) / whole.width,
  v: (y + height / 2) / whole.height,
})

/** Whether a window lies wholly beside the chart. */
function outside(
  { toPicture, columns, rows }: ChartReading['chart'],
  { x, y, width, height }: { x: number; y: number } & Size,
): boolean {
  const toChart = invertHomography(toPicture)
  const corners = [
    [x, y],
    [x + width, y],
    [x, y + height],
    [x + width, y + height],
  ].map(([px, py]) => mapPoint(toChart, [px, py]))
  const us = corners.map(([u]) => u)
  const vs = corners.map(([, v]) => v)
  return (
    Math.max(...us) < -MARGIN ||
    Math.min(...us) > columns - 1 + MARGIN ||
    Math.max(...vs) < -MARGIN ||
    Math.min(...vs) > rows - 1 + MARGIN
  )
}

function noPaper(label: string): WorkError {
  return new WorkError({
    where: label,
    what: 'exposure: paper is asked for, and no blank paper was found in this capture',
    expected: 'the same unpainted paper in every capture of the painting and beside the chart',
    todo: "Lay the chart on the sheet's margin or beside it, or use exposure: metadata, or same",
  })
}
