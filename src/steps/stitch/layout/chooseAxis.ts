import { type EdgePoint, SIDES } from '../edges/EdgePoint.js'
import { type FittedEdges, fitEdges } from '../edges/fitEdges.js'
import { angleOf, type Placement } from '../Placement.js'

/** Sheet pixels that edge points may lie off straight and square sides. */
const MOST_OFF_PX = 2
/** Edges must be seen over so much of the captures' mean shorter side. */
const LEAST_LENGTH = 0.5

export interface Axis {
  /** Radians clockwise. */
  angle: number
  /** Quarter turns in it. */
  quarters: number
  /** Where the angle is the sheet's own. */
  edges?: FittedEdges
}

/** The axis the sheet is made square to: its own edges', where enough of them is seen, else its captures' mean. */
export function chooseAxis(
  placements: readonly (Placement | undefined)[],
  edges: readonly EdgePoint[],
  shorterPx: number,
): Axis {
  const angles = placements.filter((placement) => placement !== undefined).map(angleOf)
  // Frames may lie turned by quarters; the axis is the one most are near, and the mean of what they lie off it.
  const turns = angles.map((angle) => Math.round(angle / (Math.PI / 2)))
  const mostly = turns.toSorted((a, b) => timesIn(turns, b) - timesIn(turns, a))[0]
  const lean = angles.reduce((sum, angle, i) => sum + angle - turns[i] * (Math.PI / 2), 0) / angles.length
  const mean = mostly * (Math.PI / 2) + lean
  // Sides were named by each capture's turn against the first; the fit keeps those names.
  const fitted = fitEdges(placements, edges, lean)
  if (!fitted || fitted.rmsPx > MOST_OFF_PX || fitted.lengthPx < LEAST_LENGTH * shorterPx) {
    return { angle: mean, quarters: mostly }
  }
  return { angle: fitted.angle + mostly * (Math.PI / 2), quarters: mostly, edges: fitted }
}

const timesIn = (list: readonly number[], value: number) => list.filter((other) => other === value).length

/**
 * The sheet's sides in the pixels of the sheet as laid out; undefined where its edges did not decide the axis.
 * @param placements on the sheet as laid out
 */
export function edgesOnSheet(
  { edges: found, quarters }: Axis,
  placements: readonly (Placement | undefined)[],
  edges: readonly EdgePoint[],
): FittedEdges | undefined {
  if (!found) return undefined
  const renamed = edges.map((point) => ({ ...point, side: (((point.side - quarters) % 4) + 4) % 4 }))
  return fitEdges(placements, renamed, 0)
}

/** Frames tilted by less than this show the sheet square enough by themselves. */
const LITTLE_TILT_DEG = 2

/**
 * What the sheet was made square to, in words.
 * @param tiltDeg of a camera's frames, the greatest
 */
export function describeAxis({ edges }: Axis, tiltDeg = 0): string {
  if (!edges) {
    const doubt =
      tiltDeg > LITTLE_TILT_DEG
        ? `; frames are tilted by up to ${tiltDeg.toFixed(0)} degrees, so that its corners may be a little off square: edges seen against a darker ground would fix them`
        : ''
    return `the sheet’s own edges are not seen: it is square to the mean axis of its captures${doubt}`
  }
  const sides = SIDES.filter((_, side) => edges.seen[side]).join(', ')
  return `the sheet is square to its own edges (${sides}), which are straight and square within ${edges.rmsPx.toFixed(2)} px`
}
