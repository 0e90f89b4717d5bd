import { mapPoint, type PlaneMap, slopesAt } from '../../../../raster/warp/PlaneMap.js'
import { fitHomography, type PointMatch } from './fitHomography.js'

export interface Consensus {
  map: PlaneMap
  /** Which of the pairs agree with it. */
  inliers: number[]
}

const TRIALS = 3000
/** Four pairs must span at least so many tolerances, or they fix nothing. */
const LEAST_SPAN = 1.2
/** What a plane seen twice by a camera on a stand can stretch or shrink by, and lean. */
const LEAST_SCALE = 0.6
const MOST_SCALE = 1.7

/**
 * The homography most pairs of points agree with, found among seeded random choices of four, then fitted to all that
 * agree.
 * @param tolerance how far a pair may be off, in the second's pixels
 * Source: M. A. Fischler, R. C. Bolles, "Random sample consensus", Comm. ACM 24(6), 1981, pp. 381-395,
 * doi:10.1145/358669.358692 (method; from memory).
 */
export function findHomography(pairs: readonly PointMatch[], tolerance: number): Consensus | undefined {
  if (pairs.length < 5) return undefined
  const next = generator()
  let best: number[] = []
  let bestMap: PlaneMap | undefined
  for (let trial = 0; trial < TRIALS; trial++) {
    const chosen = choose(pairs, next)
    if (!spans(chosen, LEAST_SPAN * tolerance)) continue
    const map = fitHomography(chosen)
    if (!map || !isSeen(map, chosen)) continue
    const agreeing = agree(map, pairs, tolerance)
    if (agreeing.length <= best.length) continue
    best = agreeing
    bestMap = map
    if (trial > 200 && best.length > 0.6 * pairs.length) break
  }
  if (!bestMap || best.length < 5) return undefined
  for (let i = 0; i < 4; i++) {
    const map = fitHomography(best.map((k) => pairs[k]))
    if (!map) break
    const agreeing = agree(map, pairs, tolerance)
    if (agreeing.length < best.length) break
    bestMap = map
    best = agreeing
  }
  return isSeen(
    bestMap,
    best.map((k) => pairs[k]),
  )
    ? { map: bestMap, inliers: best }
    : undefined
}

/** Numbers 0..1, always the same. */
function generator(): () => number {
  let state = 0x9e3779b9
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

function choose(pairs: readonly PointMatch[], next: () => number): PointMatch[] {
  const chosen = new Set<number>()
  while (chosen.size < 4) chosen.add(Math.floor(next() * pairs.length))
  return [...chosen].map((k) => pairs[k])
}

/** Whether no three of four points lie nearly on a line, and all lie apart. */
function spans(chosen: readonly PointMatch[], least: number): boolean {
  for (const side of ['a', 'b'] as const) {
    for (let skip = 0; skip < 4; skip++) {
      const [p, q, r] = chosen.filter((_, k) => k !== skip).map((pair) => pair[side])
      const area = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
      const longest = Math.max(
        Math.hypot(q[0] - p[0], q[1] - p[1]),
        Math.hypot(r[0] - p[0], r[1] - p[1]),
        Math.hypot(r[0] - q[0], r[1] - q[1]),
      )
      if (Math.abs(area) < least * longest) return false
    }
  }
  return true
}

/** Whether a map is one a camera can have between two frames of a sheet: not mirrored, of like scale. */
function isSeen(map: PlaneMap, pairs: readonly PointMatch[]): boolean {
  return pairs.every(({ a: [x, y] }) => {
    if (map[6] * x + map[7] * y + 1 < 0.2) return false
    const [xx, xy, yx, yy] = slopesAt(map, x, y)
    const area = xx * yy - xy * yx
    return area > LEAST_SCALE ** 2 && area < MOST_SCALE ** 2
  })
}

function agree(map: PlaneMap, pairs: readonly PointMatch[], tolerance: number): number[] {
  const found: number[] = []
  for (const [k, { a, b }] of pairs.entries()) {
    const [x, y] = mapPoint(map, a[0], a[1])
    if ((x - b[0]) ** 2 + (y - b[1]) ** 2 < tolerance * tolerance) found.push(k)
  }
  return found
}
