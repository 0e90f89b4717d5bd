import type { Layout } from '../layout/layOut.js'
import { backwards, moved } from '../Placement.js'
import { halfExtent, type Upright } from '../views/Upright.js'

/** Points across and down that stand for the sheet's area. */
const POINTS = 160

export interface Coverage {
  /** Shares of the sheet's rectangle. */
  uncoveredShare: number
  /** Held by more than one capture. */
  overlapShare: number
  /** Shares of what is covered: by captures that lay in two or more ways, and in opposite ways. */
  severalShare: number
  opposedShare: number
  /** Each capture's share that captures lying another way hold too. */
  partneredShares: number[]
}

/** How much of the sheet how many captures hold, and under how many lightings. */
export function measureCoverage(
  uprights: readonly Upright[],
  { width, height, placements }: Layout,
): Coverage {
  const back = placements.map((placement) => placement && backwards(placement))
  const own = uprights.map(() => 0)
  const partnered = uprights.map(() => 0)
  let [covered, twice, several, opposed] = [0, 0, 0, 0]
  for (let j = 0; j < POINTS; j++) {
    for (let i = 0; i < POINTS; i++) {
      const [x, y] = [((i + 0.5) / POINTS) * width - 0.5, ((j + 0.5) / POINTS) * height - 0.5]
      const holding = uprights.flatMap((upright, k) => {
        const map = back[k]
        if (!map) return []
        const [px, py] = moved(map, x, y)
        const [halfX, halfY] = halfExtent(upright)
        return Math.abs(px) < halfX && Math.abs(py) < halfY ? [k] : []
      })
      if (!holding.length) continue
      covered++
      if (holding.length > 1) twice++
      const ways = new Set<number>(holding.map((k) => uprights[k].turned))
      if (ways.size > 1) several++
      if ([...ways].some((turned) => ways.has(turned + 180))) opposed++
      for (const k of holding) {
        own[k]++
        if (ways.size > 1) partnered[k]++
      }
    }
  }
  return {
    uncoveredShare: 1 - covered / POINTS ** 2,
    overlapShare: twice / POINTS ** 2,
    severalShare: several / covered,
    opposedShare: opposed / covered,
    partneredShares: partnered.map((count, k) => (own[k] ? count / own[k] : 0)),
  }
}
