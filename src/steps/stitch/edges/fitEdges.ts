import { moved, type Placement } from '../Placement.js'
import { type EdgePoint, normalOf, type SheetEdges, SIDES } from './EdgePoint.js'

export interface FittedEdges extends SheetEdges {
  /** Which sides are seen. */
  seen: boolean[]
  /** Root mean square distance of the points from their sides, sheet pixels. */
  rmsPx: number
  /** Length of the sides seen, as the points span it, sheet pixels. */
  lengthPx: number
}

const ITERATIONS = 12

/** The sheet's axis and sides that points of its edges lie on best; undefined where there are none. */
export function fitEdges(
  placements: readonly (Placement | undefined)[],
  points: readonly EdgePoint[],
  start: number,
): FittedEdges | undefined {
  const placed = points
    .filter(({ capture }) => placements[capture])
    .map(({ capture, at, side }) => ({ side, at: moved(placements[capture]!, ...at) }))
  const groups = SIDES.map((_, side) => placed.filter((point) => point.side === side).map(({ at }) => at))
  const seen = groups.map((group) => group.length >= 2)
  if (!seen.includes(true)) return undefined
  let angle = start
  const offsets: SheetEdges['offsets'] = [0, 0, 0, 0]
  for (let i = 0; i < ITERATIONS; i++) {
    // Each side's own line about its middle; together they say how far the axis is off.
    let [turn, weight] = [0, 0]
    for (const [side, group] of groups.entries()) {
      if (!seen[side]) continue
      const [nx, ny] = normalOf(angle, side)
      const [tx, ty] = side % 2 === 0 ? [ny, -nx] : [-ny, nx]
      const distance = group.map(([x, y]) => nx * x + ny * y)
      const along = group.map(([x, y]) => tx * x + ty * y)
      const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
      const [md, ma] = [mean(distance), mean(along)]
      offsets[side] = md
      for (const [k, value] of along.entries()) {
        // Turning the axis clockwise moves a top side's far end down, a right side's lower end left.
        turn += (side % 2 === 0 ? 1 : -1) * (value - ma) * (distance[k] - md)
        weight += (value - ma) ** 2
      }
    }
    if (weight === 0) return undefined
    angle += turn / weight
  }
  let [sum, count, lengthPx] = [0, 0, 0]
  for (const [side, group] of groups.entries()) {
    if (!seen[side]) continue
    const [nx, ny] = normalOf(angle, side)
    const along = group.map(([x, y]) => ny * x - nx * y)
    lengthPx += Math.max(...along) - Math.min(...along)
    for (const [x, y] of group) sum += (nx * x + ny * y - offsets[side]) ** 2
    count += group.length
  }
  return { angle, offsets, seen, rmsPx: Math.sqrt(sum / count), lengthPx }
}
