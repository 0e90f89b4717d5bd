import type { PlaneMap } from '../../../../raster/warp/PlaneMap.js'
import type { Consensus } from './findHomography.js'
import type { PointMatch } from './fitHomography.js'

const TRIALS = 1200
/** Two pairs must lie at least so many tolerances apart. */
const LEAST_SPAN = 5
/** What one flatbed's scale may differ by from capture to capture, with room for error. */
const MOST_SCALE = 1.03

/**
 * The turn, scale near 1 and shift most pairs of points agree with, found among seeded random choices of two, then fitted to
 * all that agree.
 * @param tolerance how far a pair may be off, in the second's pixels
 * Source: as findHomography.ts.
 */
export function findSimilarity(pairs: readonly PointMatch[], tolerance: number): Consensus | undefined {
  if (pairs.length < 3) return undefined
  let state = 0x2545f491
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * pairs.length)
  }
  let best: number[] = []
  let bestMap: PlaneMap | undefined
  for (let trial = 0; trial < TRIALS; trial++) {
    const [p, q] = [pairs[next()], pairs[next()]]
    if (Math.hypot(p.a[0] - q.a[0], p.a[1] - q.a[1]) < LEAST_SPAN * tolerance) continue
    const map = fitSimilarity([p, q])
    if (!isNearOne(map)) continue
    const agreeing = agree(map, pairs, tolerance)
    if (agreeing.length <= best.length) continue
    best = agreeing
    bestMap = map
  }
  if (!bestMap || best.length < 3) return undefined
  for (let i = 0; i < 4; i++) {
    const map = fitSimilarity(best.map((k) => pairs[k]))
    const agreeing = agree(map, pairs, tolerance)
    if (agreeing.length < best.length) break
    bestMap = map
    best = agreeing
  }
  return isNearOne(bestMap) ? { map: bestMap, inliers: best } : undefined
}

/** Least squares over turn, scale and shift, in closed form. */
export function fitSimilarity(pairs: readonly PointMatch[]): PlaneMap {
  const mean = (side: 'a' | 'b', axis: 0 | 1) =>
    pairs.reduce((sum, pair) => sum + pair[side][axis], 0) / pairs.length
  const [ax, ay, bx, by] = [mean('a', 0), mean('a', 1), mean('b', 0), mean('b', 1)]
  let [dot, cross, square] = [0, 0, 0]
  for (const { a, b } of pairs) {
    const [x, y, u, v] = [a[0] - ax, a[1] - ay, b[0] - bx, b[1] - by]
    dot += x * u + y * v
    cross += x * v - y * u
    square += x * x + y * y
  }
  const [c, s] = [dot / square, cross / square]
  return [c, -s, bx - c * ax + s * ay, s, c, by - s * ax - c * ay, 0, 0]
}

const isNearOne = ([c, , , s]: PlaneMap): boolean => {
  const scale = Math.hypot(c, s)
  return scale < MOST_SCALE && scale > 1 / MOST_SCALE
}

function agree([c, , x0, s, , y0]: PlaneMap, pairs: readonly PointMatch[], tolerance: number): number[] {
  const found: number[] = []
  for (const [k, { a, b }] of pairs.entries()) {
    const x = c * a[0] - s * a[1] + x0 - b[0]
    const y = s * a[0] + c * a[1] + y0 - b[1]
    if (x * x + y * y < tolerance * tolerance) found.push(k)
  }
  return found
}
