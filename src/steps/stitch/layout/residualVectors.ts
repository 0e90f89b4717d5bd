import { moved, type Placement } from '../Placement.js'
import type { ResidualVector } from '../Reading.js'
import type { Match } from '../refine/measurePair.js'
import type { Residual } from '../refine/residuals.js'

/** Vectors kept, evenly among all windows. */
const MOST_VECTORS = 400

/** Where windows were measured on the sheet, and by how much their two captures disagree there. */
export function residualVectors(
  placements: readonly (Placement | undefined)[],
  matches: readonly Match[],
  residuals: readonly Residual[],
): ResidualVector[] {
  const stride = Math.max(1, Math.ceil(matches.length / MOST_VECTORS))
  return matches.flatMap(({ first, second, a, b }, k): ResidualVector[] => {
    if (k % stride) return []
    const [ax, ay] = moved(placements[first]!, ...a)
    const [bx, by] = moved(placements[second]!, ...b)
    const rounded = (value: number) => Math.round(value * 1000) / 1000
    return [[rounded(ax), rounded(ay), rounded(bx - ax), rounded(by - ay), residuals[k].weight > 0 ? 1 : 0]]
  })
}
