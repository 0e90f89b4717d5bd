import { tileSource } from '../../../raster/placed.js'
import type { Lens } from '../../../raster/warp/Lens.js'
import { undistorted } from '../../../raster/warp/Lens.js'
import { composedMaps, type PlaneMap } from '../../../raster/warp/PlaneMap.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import type { PairAsk } from '../WorkTask.js'
import { chooseWindows } from './chooseWindows.js'
import { type Match, matchOf } from './measurePair.js'
import { measureShift } from './measureShift.js'

/** Windows of one pair at most: they only lead the way to those at full resolution. */
const MOST_WINDOWS = 20
/** Windows that agree less than this are not the same thing. */
const LEAST_CORRELATION = 0.5

export interface MeasuredViews {
  matches: Match[]
  /** Windows looked for. */
  tried: number
}

/**
 * Measures windows of two captures' reduced pictures, both on the first's grid, seen without its lens.
 * @returns what the windows say that were found again, and how many were looked for
 */
export function measureViews({ first, second, views, map, kind }: PairAsk): MeasuredViews {
  const [a, b] = views
  const { cell } = a.light
  const { size, places } = chooseWindows(a, b, map, kind, cell, MOST_WINDOWS)
  const side = size.sidePx + 2 * size.marginPx
  const matches: Match[] = []
  for (const { x, y } of places) {
    const [u, v] = map.from ? undistorted(map.from, x, y) : [x, y]
    const middle = ((side - 1) / 2) * cell
    const grid: PlaneMap = [cell, 0, u - middle, 0, cell, v - middle, 0, 0]
    const planesA = windowOf(a, grid, side, map.from)
    const planesB = windowOf(b, composedMaps(grid, map.map), side, map.to)
    const same = a.upright.turned === b.upright.turned
    const shift = measureShift(planesA, planesB, side, size.marginPx, same)
    if (!shift || shift.correlation < LEAST_CORRELATION) continue
    matches.push(matchOf({ first, second, map }, [x, y], shift, cell))
  }
  return { matches, tried: places.length }
}

/** A view's light on a grid of centred coordinates. */
function windowOf(view: View, grid: PlaneMap, side: number, lens: Lens | undefined) {
  const { width, height, cell, planes } = view.light
  const [halfX, halfY] = halfExtent(view.upright)
  // View pixel (i, j) has its middle at ((i + 0.5) cell - half).
  const toView: PlaneMap = [1 / cell, 0, halfX / cell - 0.5, 0, 1 / cell, halfY / cell - 0.5, 0, 0]
  const rect = { x: 0, y: 0, width, height }
  const onView = lens && {
    ...lens,
    x: halfX / cell - 0.5,
    y: halfY / cell - 0.5,
    unitPx: lens.unitPx / cell,
  }
  const window = { x: 0, y: 0, width: side, height: side }
  return warpTile(tileSource({ rect, planes }), composedMaps(grid, toView), window, onView).planes
}
