import { CHART24_COLUMNS, CHART24_ROWS } from '../../colour/charts/chart24.js'
import { RequestError, WorkError } from '../../errors.js'
import { reducedSource } from '../../raster/reducedSource.js'
import type { Source } from '../../raster/Source.js'
import { colourMatch } from './find/colourMatch.js'
import { findChart, MAX_RESIDUAL, STRANGE_RESIDUAL } from './find/findChart.js'
import { composeHomography, fitHomography, type Homography, type Point } from './find/homography.js'
import { type LightView, lightView } from './find/lightView.js'
import { centreColours } from './find/placeChart.js'
import type { Params } from './params.js'

/** Where the chart lies in a capture. */
export interface LocatedChart {
  /** From chart coordinates (column 0..5, row 0..3 at patch centres) to picture pixels. */
  toPicture: Homography
  patchShare: number
  foundBy: 'search' | 'corners'
  confidence: number
  /** The view it was found in, for the report's picture. */
  view: LightView
}

/** Longest sides of the views searched, in this order: coarse is quick and quiet, fine finds small charts. */
const VIEW_SIDES_PX = [1000, 2400, 500]

/** Common practice: a chart's patches fill about this much of the distance between their centres. */
const USUAL_PATCH_SHARE = 0.87

type Labs = readonly (readonly [number, number, number])[]

/**
 * Finds the chart in its capture, by search or from the corners given.
 * @param label the capture's name, for messages
 * @throws WorkError where no chart is found
 * @throws RequestError where the corners given hold no chart
 */
export async function locateChart(
  source: Source,
  label: string,
  corners: Params['corners'],
  labD50: Labs,
  onStrip: (share: number) => void,
): Promise<LocatedChart> {
  const longest = Math.max(source.width, source.height)
  let view: LightView | undefined
  for (const side of VIEW_SIDES_PX) {
    const factor = Math.max(1, Math.ceil(longest / side))
    if (view?.factor === factor) continue
    view = lightView(await reducedSource(source, factor, onStrip), factor)
    if (corners) return fromCorners(view, source, label, corners, labD50)
    const found = findChart(view, labD50)
    if (found) {
      const toPicture = composeHomography([factor, 0, 0, 0, factor, 0, 0, 0, 1], found.toView)
      const { patchShare, confidence } = found
      return { toPicture, patchShare, foundBy: 'search', confidence, view }
    }
  }
  throw new WorkError({
    where: label,
    what: 'no 24-patch chart was found in the picture',
    expected: 'all 24 patches in the frame, evenly lit, sharp enough that they do not run together',
    todo: "Check that the file is the chart's capture; if the chart is there, name the outer corners of its patches: colour: { corners: [[0.2, 0.3], [0.8, 0.3], [0.8, 0.7], [0.2, 0.7]] }",
  })
}

/** The way of laying the chart between four corners that fits its colours: which corner is which is found out. */
function fromCorners(
  view: LightView,
  source: Source,
  label: string,
  corners: NonNullable<Params['corners']>,
  labD50: Labs,
): LocatedChart {
  const points = corners.map(([x, y]): Point => [px(x, source.width), px(y, source.height)])
  const h = USUAL_PATCH_SHARE / 2
  const [right, bottom] = [CHART24_COLUMNS - 1 + h, CHART24_ROWS - 1 + h]
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
      const seen = centreColours(view, composeHomography([s, 0, 0, 0, s, 0, 0, 0, 1], toPicture))
      return seen ? [{ toPicture, residual: colourMatch(seen, labD50) }] : []
    })
    .sort((a, b) => a.residual - b.residual)
  const [best, next] = ways
  if (!best || best.residual > MAX_RESIDUAL) {
    throw new RequestError({
      where: label,
      what: 'the corners given hold no 24-patch chart',
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
  return { toPicture: best.toPicture, patchShare: USUAL_PATCH_SHARE, foundBy: 'corners', confidence, view }
}

const px = (value: number | string, length: number) =>
  typeof value === 'number' ? value * length : Number.parseFloat(value)
