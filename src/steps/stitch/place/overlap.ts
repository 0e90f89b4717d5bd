import { after, backwards, moved, type Placement } from '../Placement.js'
import { halfExtent, type Upright } from '../views/Upright.js'

/** Points across and down that stand for a capture's area. */
const POINTS = 48

/** What two captures share, as a share of the smaller one, and where its middle lies on the first (centred). */
export function overlap(
  first: Upright,
  second: Upright,
  map: Placement,
): { share: number; x: number; y: number; areaPx: number } {
  const [halfX, halfY] = halfExtent(first)
  const [halfX2, halfY2] = halfExtent(second)
  let count = 0
  let sumX = 0
  let sumY = 0
  for (let j = 0; j < POINTS; j++) {
    const y = ((2 * j + 1) / POINTS - 1) * halfY
    for (let i = 0; i < POINTS; i++) {
      const x = ((2 * i + 1) / POINTS - 1) * halfX
      const [u, v] = moved(map, x, y)
      if (Math.abs(u) > halfX2 || Math.abs(v) > halfY2) continue
      count++
      sumX += x
      sumY += y
    }
  }
  const area = 4 * halfX * halfY
  const areaPx = (count / POINTS ** 2) * area
  return {
    share: areaPx / Math.min(area, 4 * halfX2 * halfY2),
    x: count ? sumX / count : 0,
    y: count ? sumY / count : 0,
    areaPx,
  }
}

/** How far two maps put the middle of their common area apart, in finest pixels. */
export function apart(first: Upright, second: Upright, a: Placement, b: Placement): number {
  const { x, y } = overlap(first, second, a)
  const [ax, ay] = moved(a, x, y)
  const [bx, by] = moved(b, x, y)
  return Math.hypot(ax - bx, ay - by)
}

/** From one placed capture's centred coordinates to another's. */
export const between = (first: Placement, second: Placement): Placement => after(first, backwards(second))
