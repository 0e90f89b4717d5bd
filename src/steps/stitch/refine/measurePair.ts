import type { Source } from '../../../raster/Source.js'
import { undistorted } from '../../../raster/warp/Lens.js'
import { moved, type Placement } from '../Placement.js'
import type { PairAsk } from '../WorkTask.js'
import { chooseWindows } from './chooseWindows.js'
import { measureShift, type Shift } from './measureShift.js'
import { windowAt } from './windowAt.js'

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

/**
 * What a window says.
 * @param place its middle on the first capture
 * @param shift where the second shows it against the guess, in window pixels without the first's lens
 * @param unitPx finest pixels a window pixel
 */
export function matchOf(
  { first, second, map }: { first: number; second: number; map: Placement },
  place: [x: number, y: number],
  { dx, dy, information: [xx, xy, yy] }: Shift,
  unitPx = 1,
): Match {
  const { from, ...rest } = map
  const [u, v] = from ? undistorted(from, ...place) : place
  const squared = unitPx * unitPx
  return {
    ...{ first, second, a: place, b: moved(rest, u + dx * unitPx, v + dy * unitPx) },
    information: [xx / squared, xy / squared, yy / squared],
  }
}

/** Measures windows of a pair at full resolution; only those windows are read. */
export function measurePair(
  sources: readonly [Source, Source],
  { first, second, views, map, kind }: PairAsk,
): PairMatches {
  const [a, b] = [views[0].upright, views[1].upright]
  const pair = { first, second, map }
  const { size, places } = chooseWindows(views[0], views[1], map, kind)
  const sidePx = size.sidePx + 2 * size.marginPx
  const matches: Match[] = []
  let tried = 0
  let lost = 0
  for (const place of places) {
    const [planesA, planesB] = windowAt(sources, [a, b], map, place, sidePx)
    const shift = measureShift(planesA, planesB, sidePx, size.marginPx, a.turned === b.turned)
    // Under opposing lamps relief alone can hide a window: that is no sign of another scene.
    const counts = a.turned === b.turned && place.structure >= WORTH
    if (counts) tried++
    if (!shift || shift.correlation < LEAST_CORRELATION) {
      if (counts) lost++
      continue
    }
    matches.push(matchOf(pair, [place.x, place.y], shift))
  }
  return { matches, tried, lost }
}
