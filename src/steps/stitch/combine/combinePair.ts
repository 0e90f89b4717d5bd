import type { Rect } from '../../../raster/Rect.js'
import type { Tile } from '../../../raster/Tile.js'
import { withNeighbours } from './areaOf.js'
import { cropped } from './cropped.js'
import type { FineDetail } from './FineDetail.js'
import { highlights } from './highlights.js'
import { LEAST_EVEN, pictureOf } from './pictureOf.js'
import type { ReliefModel } from './ReliefModel.js'
import { lightOf, slopesAlong } from './slopes.js'
import { slopesAcross } from './slopesAcross.js'

/**
 * Ratios of light under two lamps that a matt sheet's shading explains, and from which the brighter is a highlight: where
 * neither a model of highlights nor the pair's noise could be learned. A facet of slope 0.6 under a lamp at 45 degrees with
 * a third of the light from all sides is 2.3 times lighter on the lit side (Lambert's law).
 */
const SHADING_RATIO = 2.2
const HIGHLIGHT_RATIO = 5

/**
 * Two opposite lightings of one place, free of relief. Under opposite lamps of one strength Lambert's cosines add up to a
 * light without the slope's first order; what is even in the slope is known from the slopes, which the lightings'
 * difference shows whatever the paint, and is divided out; highlights are taken off the side that is lit; then only what
 * stands above the noise is kept (see pictureOf.ts).
 * @param a, b both on `area` (see areaOf.ts); where only one reaches, both are that one
 * @param rect what is wanted
 * @param fine undefined where it could not be learned: the mean as it is
 */
export function combinePair(
  a: Tile['planes'],
  b: Tile['planes'],
  area: Rect,
  rect: Rect,
  model: ReliefModel,
  fine: FineDetail | undefined,
): Tile['planes'] {
  const near = withNeighbours(rect)
  const across = model.crosswise
    ? slopesAcross(slopesAlong(lightOf(a), lightOf(b)), area, near, model.lampAxisDeg)
    : undefined
  const first = a.map((plane) => cropped(plane, area, near)) as Tile['planes']
  const second = b.map((plane) => cropped(plane, area, near)) as Tile['planes']
  takeHighlights(first, second, across, model, fine)
  const { curvature } = model
  if (fine) return pictureOf(first, second, across, near, rect, curvature, fine)
  const along = slopesAlong(lightOf(first), lightOf(second))
  const mean = first.map(() => new Float32Array(along.length)) as Tile['planes']
  for (let i = 0; i < along.length; i++) {
    const t = across ? across[i] : 0
    const even = Math.max(LEAST_EVEN, 1 - curvature * (along[i] * along[i] + t * t))
    for (let c = 0; c < 3; c++) mean[c][i] = (first[c][i] + second[c][i]) / (2 * even)
  }
  return mean.map((plane) => cropped(plane, near, rect)) as Tile['planes']
}

/** Takes highlights off the lit side; the planes change in place. */
function takeHighlights(
  first: Tile['planes'],
  second: Tile['planes'],
  across: Float32Array | undefined,
  { glints }: ReliefModel,
  fine: FineDetail | undefined,
): void {
  if (glints || fine) {
    const light = highlights(first, second, across, glints, fine)
    for (let i = 0; i < light.length; i++) {
      if (light[i] > 0) for (const plane of first) plane[i] -= light[i]
      else if (light[i] < 0) for (const plane of second) plane[i] += light[i]
    }
    return
  }
  const [a, b] = [lightOf(first), lightOf(second)]
  for (let i = 0; i < a.length; i++) {
    const [lit, ratio] = a[i] > b[i] ? [first, a[i] / b[i]] : [second, b[i] / a[i]]
    if (ratio > SHADING_RATIO) for (const plane of lit) plane[i] *= heldTo(ratio) / ratio
  }
}

/** A ratio beyond what shading explains: held there, and brought back to 1 as it grows to a highlight's. */
function heldTo(ratio: number): number {
  const t = Math.min(1, (ratio - SHADING_RATIO) / (HIGHLIGHT_RATIO - SHADING_RATIO))
  const share = t * t * (3 - 2 * t)
  return SHADING_RATIO + (1 - SHADING_RATIO) * share
}
