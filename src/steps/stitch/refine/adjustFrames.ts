import type { EdgePoint } from '../edges/EdgePoint.js'
import { fitEdges } from '../edges/fitEdges.js'
import { type Adjustment, adjust } from './adjust.js'
import type { Match } from './measurePair.js'
import type { Model } from './models/Model.js'

/** Edge points that lie off straight and square sides by more than this, in finest pixels, are not a sheet's. */
const MOST_OFF_PX = 2

/**
 * Adjusts a camera's frames: windows and, where they are seen, the sheet's edges. Few frames seen from like directions can be
 * explained in two ways (mirrored tilts); both are tried.
 * @returns also the edges that were used: none where they contradict the windows
 */
export function adjustFrames(
  placed: { own: readonly (readonly number[] | undefined)[]; shared: readonly number[] },
  matches: readonly Match[],
  edges: readonly EdgePoint[],
  model: Model,
): Adjustment & { edges: readonly EdgePoint[] } {
  const starts = [
    placed.own,
    placed.own.map((own) => own && [...own.slice(0, 4), 0, 0]),
    placed.own.map((own) => own && [...own.slice(0, 4), -own[4], -own[5]]),
  ]
  const best = (used: readonly EdgePoint[]) =>
    starts
      .map((start) => adjust(start, matches, model, placed.shared, false, used))
      .reduce((a, b) => (b.cost < a.cost ? b : a))
  const found = best(edges)
  const fitted = fitEdges(found.placements, edges, 0)
  if (!fitted || fitted.rmsPx <= MOST_OFF_PX) return { ...found, edges }
  return { ...best([]), edges: [] }
}
