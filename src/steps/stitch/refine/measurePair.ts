import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import { type Affine, asPlaneMap, composed, mapPoint } from '../../../raster/warp/PlaneMap.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
import type { ReadContext } from '../../contract.js'
import { asAffine, moved, type Rigid } from '../Rigid.js'
import { toCapturePixels, toUprightPixels, type Upright } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { chooseWindows, type WindowPlace } from './chooseWindows.js'
import { measureShift } from './measureShift.js'

/** One window's word on how two captures lie: a point of the first, the same point on the second. */
export interface Match {
  first: number
  second: number
  /** Centred coordinates on each. */
  a: [x: number, y: number]
  b: [x: number, y: number]
  /** Inverse covariance of the match in the first's directions, 1/px^2: xx, xy, yy. */
  information: [xx: number, xy: number, yy: number]
}

export interface PairMatches {
  matches: Match[]
  /** Windows with structure worth the name under one lamp, and how many of them the second capture does not show. */
  tried: number
  lost: number
}

/** Structure against the pair's best from which a window ought to be found again. */
const WORTH = 0.1
/** Windows that agree less than this are not the same thing, or say too little (relief under opposing lamps). */
const LEAST_CORRELATION = 0.5

/** Measures windows of a pair at full resolution; only those windows are read. */
export async function measurePair(
  views: readonly View[],
  pair: { first: number; second: number; map: Rigid },
  context: ReadContext,
): Promise<PairMatches> {
  const { first, second, map } = pair
  const [a, b] = [views[first].upright, views[second].upright]
  const { size, places } = chooseWindows(views[first], views[second], map)
  const sidePx = size.sidePx + 2 * size.marginPx
  const gridsA = places.map((place) => composed(gridAt(place, sidePx), toCapture(a)))
  const gridsB = places.map((place) => composed(composed(gridAt(place, sidePx), asAffine(map)), toCapture(b)))
  const rectsA = gridsA.map((grid) => readRect(grid, sidePx, context.captures[first]))
  const rectsB = gridsB.map((grid) => readRect(grid, sidePx, context.captures[second]))
  const [tilesA, tilesB] = await Promise.all([
    context.regions(first, rectsA),
    context.regions(second, rectsB),
  ])
  const matches: Match[] = []
  let tried = 0
  let lost = 0
  for (const [i, place] of places.entries()) {
    const window: Rect = { x: 0, y: 0, width: sidePx, height: sidePx }
    const planes = warpTile(
      partSource(tilesA[i], context.captures[first]),
      asPlaneMap(gridsA[i]),
      window,
    ).planes
    const source = partSource(tilesB[i], context.captures[second])
    const shift = measureShift(
      planes,
      warpTile(source, asPlaneMap(gridsB[i]), window).planes,
      sidePx,
      size.marginPx,
      a.turned === b.turned,
    )
    // Under opposing lamps relief alone can hide a window: that is no sign of another scene.
    const counts = a.turned === b.turned && place.structure >= WORTH
    if (counts) tried++
    if (!shift || shift.correlation < LEAST_CORRELATION) {
      if (counts) lost++
      continue
    }
    matches.push({
      first,
      second,
      a: [place.x, place.y],
      b: moved(map, place.x + shift.dx, place.y + shift.dy),
      information: shift.information,
    })
  }
  return { matches, tried, lost }
}

/** From window pixels to the first's centred coordinates: the place lies between the middle pixels. */
const gridAt = ({ x, y }: WindowPlace, sidePx: number): Affine => [
  1,
  0,
  x - (sidePx - 1) / 2,
  0,
  1,
  y - (sidePx - 1) / 2,
]

const toCapture = (upright: Upright): Affine => composed(toUprightPixels(upright), toCapturePixels(upright))

/** Pixels around a window's outline that interpolation and the shift's search may reach. */
const REACH_PX = 14

function readRect(grid: Affine, sidePx: number, { width, height }: { width: number; height: number }): Rect {
  const corners = [
    [0, 0],
    [sidePx - 1, 0],
    [0, sidePx - 1],
    [sidePx - 1, sidePx - 1],
  ].map(([x, y]) => mapPoint(asPlaneMap(grid), x, y))
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const x0 = Math.max(0, Math.floor(Math.min(...xs)) - REACH_PX)
  const y0 = Math.max(0, Math.floor(Math.min(...ys)) - REACH_PX)
  const x1 = Math.min(width, Math.ceil(Math.max(...xs)) + REACH_PX + 1)
  const y1 = Math.min(height, Math.ceil(Math.max(...ys)) + REACH_PX + 1)
  return { x: x0, y: y0, width: x1 - x0, height: y1 - y0 }
}

/** A picture of which one part is at hand; what is asked beyond it repeats the part's edge. */
function partSource(tile: Tile, { width, height }: { width: number; height: number }): Source {
  const { rect } = tile
  return {
    width,
    height,
    region(asked) {
      const out = emptyTile(asked)
      for (let j = 0; j < asked.height; j++) {
        const y = Math.min(Math.max(asked.y + j - rect.y, 0), rect.height - 1)
        for (let i = 0; i < asked.width; i++) {
          const x = Math.min(Math.max(asked.x + i - rect.x, 0), rect.width - 1)
          for (let c = 0; c < 3; c++) {
            out.planes[c][j * asked.width + i] = tile.planes[c][y * rect.width + x]
          }
        }
      }
      return out
    },
  }
}
