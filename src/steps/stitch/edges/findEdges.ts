import { undistorted } from '../../../raster/warp/Lens.js'
import { angleOf, type Placement } from '../Placement.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import type { EdgePoint } from './EdgePoint.js'

/** Lines a side is looked for along, at most; of these, and of the side's length, so much must show it on one line. */
const LINES = 240
const LEAST_LINES = 24
const LEAST_SHARE = 0.5
/** A step of the logarithm of light from what the sheet lies on to the sheet. */
const LEAST_STEP = 0.3
/** View pixels on each side of a step that its levels are taken from: from this to that. */
const NEAR_PX = 3
const FAR_PX = 7
/** View pixels a point may lie off the line. */
const TOLERANCE_PX = 1.5
/** What the sheet lies on is even: its logarithm varies by less than this along the line. */
const MOST_UNEVEN = 0.2
/** Of a capture's extent, how far inside its border a side of the sheet is looked for. */
const DEPTH = 0.35
const LEAST_LIGHT = 0.002
/** Points of one side of one capture at most, and the view pixels one is off by, as a standard deviation. */
const MOST_POINTS = 60
const SIGMA_PX = 0.4

/**
 * Where the sheet's sides are seen in a capture against an even, darker ground (the scanner's bed, a table): the first
 * strong step up from the capture's border inwards, where such steps lie on one straight line. Lighter ground is not looked
 * for: a masked margin would be taken for it.
 * @param capture its index
 * @param placement on the sheet: its lens straightens lines, its turn says which side is which
 */
function findEdges(view: View, capture: number, placement: Placement): SeenSide[] {
  const seen: SeenSide[] = []
  const quarters = Math.round((2 * angleOf(placement)) / Math.PI)
  for (let side = 0; side < 4; side++) {
    const found = sideOf(view, side, placement)
    const onSheet = (((side + quarters) % 4) + 4) % 4
    // Neighbouring points tell nearly the same: so many stand for all.
    const stride = Math.max(1, Math.ceil(found.length / MOST_POINTS))
    const sure = 1 / (SIGMA_PX * view.light.cell) ** 2
    const points = found
      .filter((_, k) => k % stride === 0)
      .map(({ at }): EdgePoint => ({ capture, at, side: onSheet, sure }))
    if (points.length) seen.push({ side: onSheet, tone: toneOf(found), points })
  }
  return seen
}

/** A side of the sheet as one capture sees it. */
interface SeenSide {
  side: number
  /** Logarithm of the light of what it lies on. */
  tone: number
  points: EdgePoint[]
}

/** Grounds whose logarithm of light differs by less than this are one. */
const SAME_TONE = 0.3

/**
 * The sheet's edges as all placed captures see them: those against one ground, which at least two sides lie on. A straight
 * line of paint is neither.
 */
export function edgesOf(views: readonly View[], placements: readonly (Placement | undefined)[]): EdgePoint[] {
  const seen = views.flatMap((view, i) => {
    const placement = placements[i]
    return placement ? findEdges(view, i, placement) : []
  })
  const grounds = seen.map(({ tone }) => seen.filter((other) => Math.abs(other.tone - tone) < SAME_TONE))
  const ground = grounds.toSorted((a, b) => b.length - a.length)[0] ?? []
  const sides = new Set(ground.map(({ side }) => side))
  return sides.size >= 2 ? ground.flatMap(({ points }) => points) : []
}

interface Step {
  at: [x: number, y: number]
  /** Logarithm of the light outside. */
  outside: number
}

function sideOf(view: View, side: number, { from }: Placement): Step[] {
  const { width, height, cell, planes } = view.light
  const [halfX, halfY] = halfExtent(view.upright)
  const along = side % 2 === 0 ? width : height
  const across = side % 2 === 0 ? height : width
  const light = (line: number, depth: number) => {
    const d = side === 1 || side === 2 ? across - 1 - depth : depth
    const i = side % 2 === 0 ? d * width + line : line * width + d
    return 0.3 * planes[0][i] + 0.6 * planes[1][i] + 0.1 * planes[2][i]
  }
  const lines = Math.min(LINES, along)
  const steps: Step[] = []
  for (let k = 0; k < lines; k++) {
    const line = Math.floor(((k + 0.5) * along) / lines)
    const found = firstStep((depth) => light(line, depth), Math.floor(DEPTH * across))
    if (!found) continue
    const d = side === 1 || side === 2 ? across - 1 - found.depth : found.depth
    const [u, v] = side % 2 === 0 ? [line, d] : [d, line]
    steps.push({ ...found, at: [(u + 0.5) * cell - halfX, (v + 0.5) * cell - halfY] })
  }
  return onOneLine(steps, lines, (point) => (from ? undistorted(from, ...point) : point), TOLERANCE_PX * cell)
}

/** The first strong step of light from the border inwards, where light is halfway between its levels. */
function firstStep(
  light: (depth: number) => number,
  most: number,
): { depth: number; outside: number } | undefined {
  const log = (depth: number) => Math.log(Math.max(light(depth), LEAST_LIGHT))
  for (let depth = NEAR_PX; depth < most - FAR_PX; depth++) {
    const step = log(depth + NEAR_PX) - log(depth - NEAR_PX)
    if (Math.abs(step) < LEAST_STEP) continue
    if (step < 0) return undefined
    // The steepest place nearby, then halfway between what lies before it and behind it, in light itself.
    let steepest = depth
    let slope = 0
    for (let d = depth; d < depth + 2 * NEAR_PX; d++) {
      const here = Math.abs(light(d + 1) - light(d - 1))
      if (here > slope) {
        slope = here
        steepest = d
      }
    }
    const mean = (start: number, end: number) => {
      let sum = 0
      let count = 0
      for (let d = Math.max(0, start); d <= end; d++, count++) sum += light(d)
      return sum / count
    }
    const outside = mean(steepest - FAR_PX, steepest - NEAR_PX)
    const inside = mean(steepest + NEAR_PX, steepest + FAR_PX)
    const middle = (outside + inside) / 2
    for (let d = steepest - NEAR_PX; d < steepest + NEAR_PX; d++) {
      const [a, b] = [light(Math.max(0, d)) - middle, light(d + 1) - middle]
      if (a * b > 0 || a === b) continue
      return {
        depth: d + a / (a - b),
        outside: Math.log(Math.max(outside, LEAST_LIGHT)),
      }
    }
    return undefined
  }
  return undefined
}

const toneOf = (steps: readonly Step[]) => steps.reduce((sum, { outside }) => sum + outside, 0) / steps.length

/** The steps that lie on one straight line and have one tone outside; none where they are too few. */
function onOneLine(
  steps: readonly Step[],
  lines: number,
  straight: (point: [number, number]) => [number, number],
  tolerance: number,
): Step[] {
  if (steps.length < LEAST_LINES) return []
  const points = steps.map(({ at }) => straight(at))
  let best: number[] = []
  for (let p = 0; p < points.length; p += Math.max(1, points.length >> 4)) {
    for (let q = p + (points.length >> 2); q < points.length; q += Math.max(1, points.length >> 4)) {
      const [dx, dy] = [points[q][0] - points[p][0], points[q][1] - points[p][1]]
      const length = Math.hypot(dx, dy)
      const near = [...points.keys()].filter(
        (k) =>
          Math.abs((points[k][0] - points[p][0]) * dy - (points[k][1] - points[p][1]) * dx) <
          tolerance * length,
      )
      if (near.length > best.length) best = near
    }
  }
  if (best.length < LEAST_LINES || best.length < LEAST_SHARE * lines) return []
  const kept = best.map((k) => steps[k])
  const mean = toneOf(kept)
  const uneven = Math.sqrt(kept.reduce((sum, { outside }) => sum + (outside - mean) ** 2, 0) / kept.length)
  return uneven > MOST_UNEVEN ? [] : kept
}
