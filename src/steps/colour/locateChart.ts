import type { ChartLayout } from '../../colour/charts/ChartLayout.js'
import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { RequestError, WorkError } from '../../errors.js'
import { reducedSource } from '../../raster/reducedSource.js'
import type { Source } from '../../raster/Source.js'
import { colourMatch } from './find/colourMatch.js'
import { findChart, MAX_RESIDUAL, STRANGE_RESIDUAL } from './find/findChart.js'
import { findPart } from './find/findPart.js'
import { composeHomography, fitHomography, type Homography, type Point } from './find/homography.js'
import { type LightView, lightView } from './find/lightView.js'
import { centreColours, type Sought } from './find/placeChart.js'
import { placeStrip } from './find/placeStrip.js'
import type { Params } from './params.js'

/** Where the chart lies in a capture. */
export interface LocatedChart {
  /** From chart coordinates (patch centres at whole numbers) to picture pixels. */
  toPicture: Homography
  patchShare: number
  foundBy: 'search' | 'corners'
  confidence: number
  /** The view it was found in, for the report's picture. */
  view: LightView
  /** The chart's layout, with what lies beside the grid at the place where it was found. */
  layout: ChartLayout
  /** A chart of the same kind elsewhere in the picture, in picture pixels: its middle. */
  second?: Point
}

/** Longest sides of the views searched, in this order: coarse is quick and quiet, fine finds small charts. */
const VIEW_SIDES_PX = [1000, 2400, 500]

/** Common practice: a chart's patches fill about this much of the distance between their centres. */
const USUAL_PATCH_SHARE = 0.87

/** Patches of large targets touch each other. */
const TOUCHING_PATCHES = 100
const TOUCHING_SHARE = 0.95

/** A grey scale whose lightness runs less well with the reference's than this is not there, or covered. */
const STRIP_CORRELATION = 0.97

/**
 * Finds the chart in its capture, by search or from the corners given.
 * @param label the capture's name, for messages
 * @throws WorkError where no chart is found
 * @throws RequestError where the corners given hold no chart, or its scale of greys is not there
 */
export async function locateChart(
  source: Source,
  label: string,
  corners: Params['corners'],
  { layout, labD50 }: Pick<ChartReference, 'layout' | 'labD50'>,
  onStrip: (share: number) => void,
): Promise<LocatedChart> {
  const chart = gridOf(layout, labD50)
  const longest = Math.max(source.width, source.height)
  let view: LightView | undefined
  let first: LightView | undefined
  for (const side of VIEW_SIDES_PX) {
    const factor = Math.max(1, Math.ceil(longest / side))
    if (view?.factor === factor) continue
    view = lightView(await reducedSource(source, factor, onStrip), factor)
    first ??= view
    if (corners) {
      const found = fromCorners(view, source, label, corners, chart, layout)
      return { ...found, ...withStrip(found, layout, labD50, label) }
    }
    const found = findChart(view, chart)
    if (found) {
      const scale = [factor, 0, 0, 0, factor, 0, 0, 0, 1]
      const toPicture = composeHomography(scale, found.toView)
      const { patchShare, confidence } = found
      const located = { toPicture, patchShare, foundBy: 'search' as const, confidence, view }
      const second = found.second && ([factor * found.second[0], factor * found.second[1]] as Point)
      return { ...located, second, ...withStrip(located, layout, labD50, label) }
    }
  }
  const part = first && findPart(first, chart)
  if (part) {
    throw new WorkError({
      where: label,
      what: `only a part of the ${layout.title} is in the picture`,
      expected: `all ${layout.patches.length} patches`,
      found: `about ${part}`,
      todo: 'Capture the whole chart, with a margin all round and nothing lying on it',
    })
  }
  throw new WorkError({
    where: label,
    what: `no ${layout.title} was found in the picture`,
    expected: `all ${layout.patches.length} patches in the frame, evenly lit, sharp enough that they do not run together`,
    todo: "Check that the file is the chart's capture; if the chart is there, name the outer corners of its patches: colour: { corners: [[0.2, 0.3], [0.8, 0.3], [0.8, 0.7], [0.2, 0.7]] }",
  })
}

/** The patches that lie on the grid. */
function gridOf(layout: ChartLayout, labD50: ChartReference['labD50']): Sought {
  const { columns, rows, patches } = layout
  const held = patches.flatMap(({ at: [u, v] }, k) =>
    Number.isInteger(u) && Number.isInteger(v) && u >= 0 && v >= 0 && u < columns && v < rows ? [k] : [],
  )
  return { columns, rows, patches: held.map((k) => patches[k]), labD50: held.map((k) => labD50[k]) }
}

/** The layout with a scale of greys beside the grid moved to where the capture shows it. */
function withStrip(
  { view, toPicture }: Pick<LocatedChart, 'view' | 'toPicture'>,
  layout: ChartLayout,
  labD50: ChartReference['labD50'],
  label: string,
): Pick<LocatedChart, 'layout'> {
  const beside = layout.patches.flatMap(({ at: [, row] }, k) => (Number.isInteger(row) ? [] : [k]))
  if (beside.length === 0) return { layout }
  const s = 1 / view.factor
  const toView = composeHomography([s, 0, 0, 0, s, 0, 0, 0, 1], toPicture)
  const strip = placeStrip(
    view,
    toView,
    layout,
    beside.map((k) => labD50[k][0]),
  )
  if (!strip || strip.correlation < STRIP_CORRELATION) {
    throw new RequestError({
      where: label,
      what: `the scale of ${beside.length} greys beside the ${layout.title}'s grid was not found`,
      expected: 'the whole target in the frame, its greys uncovered',
      found: strip && `the best match runs with the greys to ${strip.correlation.toFixed(2)} of 1`,
      todo: 'Capture the whole target, and check that the reference file is of this very kind of target',
    })
  }
  const patches = layout.patches.map((patch, k) => {
    const step = beside.indexOf(k)
    return step < 0 ? patch : { ...patch, at: [strip.left + step * strip.pitch, strip.row] as const }
  })
  return { layout: { ...layout, patches } }
}

/** The way of laying the chart between four corners that fits its colours: which corner is which is found out. */
function fromCorners(
  view: LightView,
  source: Source,
  label: string,
  corners: NonNullable<Params['corners']>,
  chart: Sought,
  { title, patches }: ChartLayout,
): Omit<LocatedChart, 'layout'> {
  const points = corners.map(([x, y]): Point => [px(x, source.width), px(y, source.height)])
  const patchShare = patches.length < TOUCHING_PATCHES ? USUAL_PATCH_SHARE : TOUCHING_SHARE
  const h = patchShare / 2
  const [right, bottom] = [chart.columns - 1 + h, chart.rows - 1 + h]
  const outer: Point[] = [
    [-h, -h],
    [right, -h],
    [right, bottom],
    [-h, bottom],
  ]
  const ways = [points, [...points].reverse()]
    .flatMap((round) => [0, 1, 2, 3].map((k) => [...round.slice(k), ...round.slice(0, k)]))
    .flatMap((round) => {
      const toPicture = fitHomography(outer, round, true)
      if (!toPicture) return []
      const s = 1 / view.factor
      const toView = composeHomography([s, 0, 0, 0, s, 0, 0, 0, 1], toPicture)
      const seen = centreColours(view, toView, chart.patches)
      return seen ? [{ toPicture, residual: colourMatch(seen, chart.labD50) }] : []
    })
    .sort((a, b) => a.residual - b.residual)
  const [best, next] = ways
  if (!best || best.residual > MAX_RESIDUAL) {
    throw new RequestError({
      where: label,
      what: `the corners given hold no ${title}`,
      expected: 'the outer corners of the four corner patches, in order round the chart',
      found:
        best && `colours ${best.residual.toFixed(0)} CIELAB units from the chart's (at most ${MAX_RESIDUAL})`,
      todo: 'Read the corners off the picture again: shares of its width and height, or pixels such as 512px',
    })
  }
  const confidence = Math.max(
    0,
    1 - best.residual / Math.min(STRANGE_RESIDUAL, next?.residual ?? STRANGE_RESIDUAL),
  )
  return { toPicture: best.toPicture, patchShare, foundBy: 'corners', confidence, view }
}

const px = (value: number | string, length: number) =>
  typeof value === 'number' ? value * length : Number.parseFloat(value)
