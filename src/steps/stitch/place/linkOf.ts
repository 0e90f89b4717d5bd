import { type Lens, undistorted } from '../../../raster/warp/Lens.js'
import { mapPoint } from '../../../raster/warp/PlaneMap.js'
import type { ReadContext } from '../../contract.js'
import { angleOf, type Placement } from '../Placement.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { type Alignment, agreement, alignPlacement } from './alignPlacement.js'
import { strength } from './comparePair.js'
import type { Features } from './features/findFeatures.js'
import { type Consensus, findHomography } from './features/findHomography.js'
import { findSimilarity } from './features/findSimilarity.js'
import { matchFeatures } from './features/matchFeatures.js'
import type { Link } from './Link.js'

/** View pixels a feature is off by, as a standard deviation. */
const SIGMA_CELLS = 1
/** By how much features may be off from one map: of a view's diagonal for frames, which a lens bends; view pixels for flatbeds. */
const FRAME_TOLERANCE = 0.015
/** The same once the lens is known. */
const STRAIGHT_TOLERANCE = 0.006
const FLATBED_TOLERANCE_CELLS = 3
/** Matches that must agree: so many, and this share of all. */
const LEAST_INLIERS = { camera: 8, flatbed: 6 } as const
const INLIER_SHARE = 0.12
/** Matches left over that agree on another place by this share of the best's make the place ambiguous. */
const RIVAL = 0.7
/** Largest rotation between two flatbed captures beyond a quarter turn, with room for error. */
const LARGEST_TURN_DEG = 7

/** Two captures that may show a part of the sheet in common. */
export interface LinkRequest {
  first: number
  second: number
  views: readonly [View, View]
  features: readonly [Features, Features]
  kind: ReadContext['kind']
  /** Of the frames, once it is known. */
  lens?: Lens
}

/** How one capture lies on another by features that agree on it; undefined where too few do. */
export function linkOf({ first, second, views, features, kind, lens }: LinkRequest): Link | undefined {
  const [one, other] = views
  const matches = matchFeatures(...features, one.levels.at(-1)!.cell)
  const { width, height, cell } = one.light
  const share = lens ? STRAIGHT_TOLERANCE : FRAME_TOLERANCE
  const tolerance =
    kind === 'camera' ? share * Math.hypot(width, height) * cell : FLATBED_TOLERANCE_CELLS * cell
  const find = kind === 'camera' ? findHomography : findSimilarity
  const straight = lens
    ? matches.map(({ a, b }) => ({ a: undistorted(lens, ...a), b: undistorted(lens, ...b) }))
    : matches
  const consensus = find(straight, tolerance)
  if (!consensus || consensus.inliers.length <= LEAST_INLIERS[kind] + INLIER_SHARE * matches.length) {
    return undefined
  }
  const { map, inliers } = consensus
  const turnDeg = (angleOf({ map }) * 180) / Math.PI
  const quarter = ((Math.round(turnDeg / 90) * 90 + 360) % 360) as Link['quarter']
  const lean = turnDeg - Math.round(turnDeg / 90) * 90
  if (kind === 'flatbed' && Math.abs(lean) > LARGEST_TURN_DEG) return undefined
  const placement = lens ? { map, from: lens, to: lens } : { map }
  const alignment = aligned(one, other, placement, kind)
  if (!alignment) return undefined
  const others = straight.filter((_, k) => !inliers.includes(k))
  const rival = find(others, tolerance)
  const elsewhere = rival && isElsewhere(one, consensus, rival, 3 * tolerance)
  const sure = 1 / (SIGMA_CELLS * cell) ** 2
  return {
    pair: {
      ...{ first, second, alignment, significance: strength(alignment) },
      ambiguous: elsewhere === true && rival!.inliers.length > RIVAL * inliers.length,
    },
    matches: inliers.map((k) => ({
      ...{ first, second, information: [sure, 0, sure] as [number, number, number] },
      a: [...matches[k].a],
      b: [...matches[k].b],
    })),
    quarter,
  }
}

/** How well the structure agrees where features say that two captures lie; flatbeds are moved a little to agree best. */
function aligned(
  first: View,
  second: View,
  map: Placement,
  kind: ReadContext['kind'],
): Alignment | undefined {
  // The level that shows structure well but forgives a pixel or two.
  const middle = Math.max(0, first.levels.length - 2)
  if (kind === 'camera') return agreement(first, second, middle, map)
  const level = Math.min(1, middle)
  return alignPlacement(first, second, level, map) ?? agreement(first, second, middle, map)
}

/** Whether two maps put what they agree about at different places. */
function isElsewhere(first: View, best: Consensus, rival: Consensus, leastPx: number): boolean {
  const [halfX, halfY] = halfExtent(first.upright)
  return [-0.5, 0.5].some((x) =>
    [-0.5, 0.5].some((y) => {
      const [ax, ay] = mapPoint(best.map, x * halfX, y * halfY)
      const [bx, by] = mapPoint(rival.map, x * halfX, y * halfY)
      return Math.hypot(ax - bx, ay - by) > leastPx
    }),
  )
}
