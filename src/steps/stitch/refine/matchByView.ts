import { moved } from '../Placement.js'
import type { Pair } from '../place/comparePair.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import type { Match } from './measurePair.js'

/** Standard deviation of a placement by a reduced view, in its pixels (measured on painted tiles). */
const SIGMA_CELLS = 0.15
/** Points that speak for a pair, across and down its common area. */
const POINTS = 3

/**
 * What the reduced view says of a pair that has no windows of its own: a few points of the common area, each as sure as
 * the view is fine.
 */
export function matchByView(views: readonly View[], { first, second, alignment }: Pair): Match[] {
  const [a, b] = [views[first].upright, views[second].upright]
  const [halfX, halfY] = halfExtent(a)
  const [halfX2, halfY2] = halfExtent(b)
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity]
  for (let j = -20; j <= 20; j++) {
    for (let i = -20; i <= 20; i++) {
      const [x, y] = [(i / 20) * halfX, (j / 20) * halfY]
      const [u, v] = moved(alignment.map, x, y)
      if (Math.abs(u) > halfX2 || Math.abs(v) > halfY2) continue
      x0 = Math.min(x0, x)
      x1 = Math.max(x1, x)
      y0 = Math.min(y0, y)
      y1 = Math.max(y1, y)
    }
  }
  if (x0 > x1) return []
  const sure = 1 / (SIGMA_CELLS * alignment.cell) ** 2
  const matches: Match[] = []
  for (let j = 0; j < POINTS; j++) {
    for (let i = 0; i < POINTS; i++) {
      const x = x0 + ((x1 - x0) * i) / (POINTS - 1)
      const y = y0 + ((y1 - y0) * j) / (POINTS - 1)
      const to = moved(alignment.map, x, y)
      matches.push({ first, second, a: [x, y], b: to, information: [sure, 0, sure] })
    }
  }
  return matches
}
