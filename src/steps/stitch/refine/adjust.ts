import { moved, type Rigid } from '../Rigid.js'
import { solve } from '../solve.js'
import type { Match } from './measurePair.js'

export interface Adjustment {
  placements: (Rigid | undefined)[]
  /** Each match's disagreement after the adjustment, in finest pixels on the sheet, and its share of weight 0..1. */
  residuals: { x: number; y: number; weight: number; uniform: [xx: number, xy: number, yy: number] }[]
}

/** What windows disagree by however well they are measured: the device is not perfectly true. In finest pixels. */
const LOCAL_PX = 0.1
const ITERATIONS = 20
/** Beyond this many times its expected size a disagreement counts nothing. */
const CUT = 4.685

/**
 * Moves all placed captures together until their windows disagree least: least squares over dx, dy and rotation of every
 * capture but the one that is held, each window weighted by how well it fixes a shift in each direction, with Tukey's
 * weights against outliers, their scale from the median.
 * Source: P. W. Holland, R. E. Welsch, "Robust regression using iteratively reweighted least-squares", Communications in
 * Statistics A6(9), 1977, pp. 813-827, doi:10.1080/03610927708827533 (constant 4.685 for 95 % efficiency; from memory).
 */
export function adjust(start: readonly (Rigid | undefined)[], matches: readonly Match[]): Adjustment {
  const placements = start.map((placement) => placement && { ...placement })
  const held = placements.findIndex((placement) => placement !== undefined)
  const index = placements.map(() => -1)
  let unknowns = 0
  for (const [i, placement] of placements.entries()) {
    if (placement && i !== held) {
      index[i] = unknowns
      unknowns += 3
    }
  }
  let residuals = residualsOf(placements, matches)
  weigh(residuals, matches, true)
  for (let iteration = 0; iteration < ITERATIONS && unknowns; iteration++) {
    const normal = Array.from({ length: unknowns }, () => new Array<number>(unknowns).fill(0))
    const right = new Array<number>(unknowns).fill(0)
    for (const [k, match] of matches.entries()) {
      const { x, y, weight, uniform } = residuals[k]
      if (weight === 0) continue
      const terms = [
        ...columns(placements[match.first]!, match.a, index[match.first], 1),
        ...columns(placements[match.second]!, match.b, index[match.second], -1),
      ]
      const [xx, xy, yy] = uniform.map((value) => value * weight)
      for (const { at, dx, dy } of terms) {
        const [wx, wy] = [xx * dx + xy * dy, xy * dx + yy * dy]
        right[at] -= wx * x + wy * y
        for (const other of terms) normal[at][other.at] += wx * other.dx + wy * other.dy
      }
    }
    // A capture held by one straight edge alone keeps its start along it.
    for (let u = 0; u < unknowns; u++) normal[u][u] += u % 3 === 2 ? 1 : 1e-6
    const step = solve(normal, right)
    if (!step) break
    for (const [i, placement] of placements.entries()) {
      if (!placement || index[i] < 0) continue
      placement.x += step[index[i]]
      placement.y += step[index[i] + 1]
      placement.angle += step[index[i] + 2]
    }
    residuals = residualsOf(placements, matches)
    weigh(residuals, matches, iteration < 3)
    if (iteration > 5 && Math.max(...step.map(Math.abs)) < 1e-6) break
  }
  return { placements, residuals }
}

/** How a point on the sheet moves with its capture's unknowns. */
function columns({ angle }: Rigid, [px, py]: [number, number], at: number, sign: number) {
  if (at < 0) return []
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  return [
    { at, dx: sign, dy: 0 },
    { at: at + 1, dx: 0, dy: sign },
    { at: at + 2, dx: sign * (-s * px - c * py), dy: sign * (c * px - s * py) },
  ]
}

function residualsOf(
  placements: readonly (Rigid | undefined)[],
  matches: readonly Match[],
): Adjustment['residuals'] {
  return matches.map(({ first, second, a, b, information }) => {
    const [ax, ay] = moved(placements[first]!, ...a)
    const [bx, by] = moved(placements[second]!, ...b)
    return { x: ax - bx, y: ay - by, weight: 1, uniform: bounded(information) }
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

/**
 * Huber's weights first, which find the way from afar, then Tukey's, which forget outliers. The expected size of a
 * disagreement is each pair's own, from its median: pairs under opposing lamps are less sure than their windows think.
 */
function weigh(residuals: Adjustment['residuals'], matches: readonly Match[], gentle: boolean): void {
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
export function rms(residuals: readonly Adjustment['residuals'][number][]): number {
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
