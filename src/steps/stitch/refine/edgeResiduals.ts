import { type EdgePoint, normalOf } from '../edges/EdgePoint.js'
import { fitEdges } from '../edges/fitEdges.js'
import { moved, type Placement } from '../Placement.js'
import type { Model } from './models/Model.js'
import { LOCAL_PX } from './residuals.js'

export interface EdgeResidual {
  /** From the side, sheet pixels. */
  distance: number
  weight: number
}

/** How far edge points lie from the sheet's sides, and what each weighs: Huber's weights, their scale each side's own. */
export function edgeResiduals(
  placements: readonly (Placement | undefined)[],
  edges: readonly EdgePoint[],
  [angle, ...offsets]: readonly number[],
): EdgeResidual[] {
  const distances = edges.map(({ capture, at, side }) => {
    const [nx, ny] = normalOf(angle, side)
    const [x, y] = moved(placements[capture]!, ...at)
    return nx * x + ny * y - offsets[side]
  })
  const scales = [0, 1, 2, 3].map((side) => {
    const sizes = distances
      .filter((_, k) => edges[k].side === side)
      .map(Math.abs)
      .sort((p, q) => p - q)
    // 1.48 times the median is the standard deviation of a normal error.
    return Math.max(LOCAL_PX, 1.48 * (sizes[sizes.length >> 1] ?? 0))
  })
  return distances.map((distance, k) => {
    const { side, sure } = edges[k]
    const t = Math.abs(distance) / scales[side]
    const share = sure / (sure + 1 / LOCAL_PX ** 2)
    return { distance, weight: share * Math.min(1, 1.5 / Math.max(t, 1e-9)) * (LOCAL_PX / scales[side]) ** 2 }
  })
}

/** The sheet's axis and sides as the edges have them where captures lie at first. */
export function firstEdges(
  start: readonly (readonly number[] | undefined)[],
  from: readonly number[],
  model: Model,
  edges: readonly EdgePoint[],
): number[] {
  const fitted = fitEdges(
    start.map((own) => own && model.place(own, from)),
    edges,
    0,
  )
  return fitted ? [fitted.angle, ...fitted.offsets] : [0, 0, 0, 0, 0]
}
