import { angleOf, moved, type Placement } from '../Placement.js'
import type { Match } from './measurePair.js'

/** A match's disagreement, in finest pixels on the sheet, and its share of weight 0..1. */
export interface Residual {
  x: number
  y: number
  weight: number
  /** How well the match fixes each direction, 0..1: xx, xy, yy. */
  uniform: [xx: number, xy: number, yy: number]
}

/** What windows disagree by however well they are measured: the device is not perfectly true. In finest pixels. */
export const LOCAL_PX = 0.1
/** Beyond this many times its expected size a disagreement counts nothing. */
const CUT = 4.685

/** How far placed captures disagree about each match, every one with its whole weight. */
export function residualsOf(
  placements: readonly (Placement | undefined)[],
  matches: readonly Match[],
): Residual[] {
  const angles = placements.map((placement) => (placement ? angleOf(placement) : 0))
  return matches.map(({ first, second, a, b, information }) => {
    const [ax, ay] = moved(placements[first]!, ...a)
    const [bx, by] = moved(placements[second]!, ...b)
    return { x: ax - bx, y: ay - by, weight: 1, uniform: turned(bounded(information), angles[first]) }
  })
}

/** (C + LOCAL^2)^-1 LOCAL^2 for the measured covariance C: 1 in well fixed directions, 0 in those left open. */
function bounded([xx, xy, yy]: Match['information']): [number, number, number] {
  const half = (xx + yy) / 2
  const spread = Math.hypot((xx - yy) / 2, xy)
  const share = (value: number) => value / (value + 1 / LOCAL_PX ** 2)
  const [high, low] = [share(half + spread), share(Math.max(0, half - spread))]
  if (spread === 0) return [high, 0, high]
  const [mean, part] = [(high + low) / 2, (high - low) / 2]
  return [
    mean + (part * (xx - yy)) / 2 / spread,
    (part * xy) / spread,
    mean - (part * (xx - yy)) / 2 / spread,
  ]
}

/** A symmetric form seen after a turn. */
function turned([xx, xy, yy]: [number, number, number], angle: number): [number, number, number] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  return [
    c * c * xx - 2 * c * s * xy + s * s * yy,
    c * s * (xx - yy) + (c * c - s * s) * xy,
    s * s * xx + 2 * c * s * xy + c * c * yy,
  ]
}

/**
 * Huber's weights first, which find the way from afar, then Tukey's, which forget outliers. The expected size of a
 * disagreement is each pair's own, from its median: pairs under opposing lamps are less sure than their windows think.
 */
export function weigh(residuals: Residual[], matches: readonly Match[], gentle: boolean): void {
  const sizes = residuals.map(({ x, y, uniform: [xx, xy, yy] }) =>
    Math.sqrt(Math.max(0, xx * x * x + 2 * xy * x * y + yy * y * y)),
  )
  const byPair = new Map<string, number[]>()
  for (const [k, { first, second }] of matches.entries()) {
    const key = `${first} ${second}`
    byPair.set(key, [...(byPair.get(key) ?? []), k])
  }
  for (const own of byPair.values()) {
    const sorted = own.map((k) => sizes[k]).sort((p, q) => p - q)
    // 1.18 sigma is the median length of a two-dimensional normal error.
    const scale = Math.max(LOCAL_PX, sorted[sorted.length >> 1] / 1.18)
    for (const k of own) {
      const t = sizes[k] / scale
      const robust = gentle ? Math.min(1, 1.5 / Math.max(t, 1e-9)) : t < CUT ? (1 - (t / CUT) ** 2) ** 2 : 0
      residuals[k].weight = robust * (LOCAL_PX / scale) ** 2
    }
  }
}

/** Root mean square length of the disagreements that count, along what each window fixes. */
export function rms(residuals: readonly Residual[]): number {
  let sum = 0
  let weight = 0
  for (const {
    x,
    y,
    weight: w,
    uniform: [xx, xy, yy],
  } of residuals) {
    sum += w * (xx * x * x + 2 * xy * x * y + yy * y * y)
    weight += (w * (xx + yy)) / 2
  }
  return weight > 0 ? Math.sqrt(sum / weight) : 0
}
