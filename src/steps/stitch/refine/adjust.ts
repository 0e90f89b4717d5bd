import { type EdgePoint, normalOf } from '../edges/EdgePoint.js'
import { moved, type Placement } from '../Placement.js'
import { solve } from '../solve.js'
import { type EdgeResidual, edgeResiduals, firstEdges } from './edgeResiduals.js'
import type { Match } from './measurePair.js'
import type { Model } from './models/Model.js'
import { LOCAL_PX, type Residual, residualsOf, weigh } from './residuals.js'

export interface Adjustment {
  placements: (Placement | undefined)[]
  /** The model's numbers: each placed capture's own, and the shared ones. */
  own: (number[] | undefined)[]
  shared: number[]
  /** What is left to disagree, weighted, in finest pixels squared. */
  cost: number
  /** After the adjustment, one a match. */
  residuals: Residual[]
}

const ITERATIONS = 40
/** Damping of the steps: at first, at least, and where no step helps any more. */
const FIRST_DAMPING = 1e-4
const LEAST_DAMPING = 1e-9
const MOST_DAMPING = 1e3
/** Keeps a capture that one straight edge alone holds where it is along it. */
const LEAST_HOLD = 1e-6
/** Steps with Huber's weights before Tukey's. */
const GENTLE = 5

/**
 * Moves all placed captures together until their windows disagree least: damped least squares over the model's numbers,
 * each window weighted by how well it fixes a shift in each direction, with Tukey's weights against outliers, their scale
 * from the median.
 * @param start where the captures lie nearly: their own numbers
 * @param from the model's shared numbers to begin with
 * @param edges points that lie on the sheet's sides, which are straight and square to each other
 * @param gentle whether to stay with Huber's weights: few matches, roughly placed
 * Sources: B. Triggs et al., "Bundle adjustment: a modern synthesis", Vision Algorithms, LNCS 1883, 2000, pp. 298-372,
 * doi:10.1007/3-540-44480-7_21; D. W. Marquardt, "An algorithm for least-squares estimation of nonlinear parameters",
 * J. SIAM 11(2), 1963, pp. 431-441, doi:10.1137/0111030; P. W. Holland, R. E. Welsch, "Robust regression using
 * iteratively reweighted least-squares", Communications in Statistics A6(9), 1977, pp. 813-827,
 * doi:10.1080/03610927708827533 (constant 4.685 for 95 % efficiency). All from memory.
 */
export function adjust(
  start: readonly (readonly number[] | undefined)[],
  matches: readonly Match[],
  model: Model,
  from: readonly number[] = model.shared,
  gentle = false,
  edges: readonly EdgePoint[] = [],
): Adjustment {
  const sheet = edges.length ? firstEdges(start, from, model, edges) : []
  const layout = numbered(start, model, sheet.length)
  let values = Float64Array.from([...from, ...sheet, ...start.flatMap((own) => own ?? [])])
  const placed = (numbers: Float64Array) =>
    layout.ofEach((own) => model.place(own(numbers), layout.shared(numbers)))
  let placements = placed(values)
  let residuals = residualsOf(placements, matches)
  weigh(residuals, matches, true)
  let off = edgeResiduals(placements, edges, layout.sheet(values))
  let damping = FIRST_DAMPING
  for (let iteration = 0; iteration < ITERATIONS && layout.free.length; iteration++) {
    const { normal, right } = equations(values, placements, matches, residuals, edges, off, model, layout)
    const before = costOf(residuals, off, values, model, layout)
    let settled = false
    for (; damping < MOST_DAMPING; damping *= 8) {
      const damped = normal.map((row, u) =>
        row.map((value, k) => (k === u ? value * (1 + damping) + LEAST_HOLD : value)),
      )
      const step = solve(damped, right)
      if (!step) continue
      const next = values.slice()
      for (const [u, at] of layout.free.entries()) next[at] += step[u]
      const tried = placed(next)
      const after = residualsOf(tried, matches).map((residual, k) => ({
        ...residual,
        weight: residuals[k].weight,
      }))
      const offAfter = edgeResiduals(tried, edges, layout.sheet(next)).map((edge, k) => ({
        ...edge,
        weight: off[k].weight,
      }))
      const cost = costOf(after, offAfter, next, model, layout)
      if (!(cost <= before)) continue
      settled = before - cost < 1e-10 * before
      values = next
      placements = tried
      residuals = after
      off = offAfter
      damping = Math.max(LEAST_DAMPING, damping / 20)
      break
    }
    if (damping >= MOST_DAMPING) {
      settled = true
      damping = FIRST_DAMPING
    }
    const huber = gentle || iteration < GENTLE
    weigh(residuals, matches, huber)
    off = edgeResiduals(placements, edges, layout.sheet(values))
    if (settled && (gentle || !huber)) break
  }
  const own = layout.ofEach((numbers) => numbers(values))
  const cost = costOf(residuals, off, values, model, layout)
  return { placements, own, shared: layout.shared(values), cost, residuals }
}

/** Which number of all stands where: the shared ones first, then each placed capture's own. */
function numbered(start: readonly (readonly number[] | undefined)[], model: Model, extra: number) {
  const { length: shared } = model.shared
  const { length: own } = model.held
  const first = start.map(() => -1)
  let count = shared + extra
  for (const [i, numbers] of start.entries()) {
    if (!numbers) continue
    first[i] = count
    count += own
  }
  const held = first.find((at) => at >= 0) ?? -1
  const free = Array.from({ length: count }, (_, at) => at).filter(
    (at) => held < 0 || at < held || at >= held + own || !model.held[at - held],
  )
  const place = new Map(free.map((at, u) => [at, u]))
  return {
    first,
    free,
    /** Where a number stands among the free ones. */
    placeOf: (at: number) => place.get(at),
    shared: (values: Float64Array) => [...values.subarray(0, shared)],
    /** The sheet's axis and its four sides, where edges are seen; they stand from here on. */
    sheetAt: shared,
    sheet: (values: Float64Array) => [...values.subarray(shared, shared + extra)],
    ofEach: <T>(make: (own: (values: Float64Array) => number[]) => T) =>
      first.map((at) => (at < 0 ? undefined : make((values) => [...values.subarray(at, at + own)]))),
  }
}

type Numbering = ReturnType<typeof numbered>

/** The normal equations of all matches and of what is known beforehand. */
function equations(
  values: Float64Array,
  placements: readonly (Placement | undefined)[],
  matches: readonly Match[],
  residuals: readonly Residual[],
  edges: readonly EdgePoint[],
  off: readonly EdgeResidual[],
  model: Model,
  layout: Numbering,
) {
  const n = layout.free.length
  const normal = Array.from({ length: n }, () => new Array<number>(n).fill(0))
  const right = new Array<number>(n).fill(0)
  const moves = placements.map((_, i) => movesOf(i, values, model, layout))
  const columns = (i: number, [px, py]: [number, number], sign: number) => {
    const [x, y] = moved(placements[i]!, px, py)
    return moves[i].map(({ u, step, placement }) => {
      const [sx, sy] = moved(placement, px, py)
      return { u, dx: (sign * (sx - x)) / step, dy: (sign * (sy - y)) / step }
    })
  }
  for (const [k, { first, second, a, b }] of matches.entries()) {
    const { x, y, weight, uniform } = residuals[k]
    if (weight === 0) continue
    const [xx, xy, yy] = uniform.map((value) => value * weight)
    const terms = [...columns(first, a, 1), ...columns(second, b, -1)]
    for (const { u, dx, dy } of terms) {
      const [wx, wy] = [xx * dx + xy * dy, xy * dx + yy * dy]
      right[u] -= wx * x + wy * y
      for (const other of terms) normal[u][other.u] += wx * other.dx + wy * other.dy
    }
  }
  const [angle = 0] = layout.sheet(values)
  for (const [k, { capture, at, side }] of edges.entries()) {
    const { distance, weight } = off[k]
    const [nx, ny] = normalOf(angle, side)
    const [x, y] = moved(placements[capture]!, ...at)
    const turn = layout.placeOf(layout.sheetAt)!
    const offset = layout.placeOf(layout.sheetAt + 1 + side)!
    const terms = [
      ...columns(capture, at, 1).map(({ u, dx, dy }) => ({ u, d: nx * dx + ny * dy })),
      // A normal turned clockwise by a little gains its own clockwise neighbour: (-ny, nx).
      { u: turn, d: -ny * x + nx * y },
      { u: offset, d: -1 },
    ]
    for (const { u, d } of terms) {
      right[u] -= weight * d * distance
      for (const other of terms) normal[u][other.u] += weight * d * other.d
    }
  }
  for (const { at, value, weight } of knowledge(values, model, layout)) {
    const u = layout.placeOf(at)
    if (u === undefined) continue
    normal[u][u] += weight
    right[u] -= weight * value
  }
  return { normal, right }
}

/** A capture's placement with each free number it depends on moved by a small step. */
function movesOf(i: number, values: Float64Array, model: Model, { first, placeOf, shared }: Numbering) {
  const at = first[i]
  if (at < 0) return []
  const own = [...values.subarray(at, at + model.held.length)]
  const common = shared(values)
  const with_ = (list: readonly number[], k: number, step: number) =>
    list.map((v, j) => (j === k ? v + step : v))
  return [
    ...common.map((_, k) => {
      const step = model.sharedSteps[k]
      return { u: placeOf(k), step, placement: model.place(own, with_(common, k, step)) }
    }),
    ...own.map((_, k) => {
      const step = model.ownSteps[k]
      return { u: placeOf(at + k), step, placement: model.place(with_(own, k, step), common) }
    }),
  ].filter((move): move is typeof move & { u: number } => move.u !== undefined)
}

/** What is known of the numbers beforehand: how far each is from what is expected, and how much that weighs. */
function knowledge(values: Float64Array, model: Model, { first }: Numbering) {
  const known: { at: number; value: number; weight: number }[] = []
  const add = (at: number, expected: number, sigma: number | undefined) => {
    if (sigma !== undefined) known.push({ at, value: values[at] - expected, weight: (LOCAL_PX / sigma) ** 2 })
  }
  for (const [k, sigma] of model.sharedSigmas.entries()) add(k, model.shared[k], sigma)
  for (const at of first)
    if (at >= 0) for (const [k, sigma] of model.ownSigmas.entries()) add(at + k, 0, sigma)
  return known
}

function costOf(
  residuals: readonly Residual[],
  off: readonly EdgeResidual[],
  values: Float64Array,
  model: Model,
  layout: Numbering,
): number {
  let cost = 0
  for (const {
    x,
    y,
    weight,
    uniform: [xx, xy, yy],
  } of residuals) {
    cost += weight * (xx * x * x + 2 * xy * x * y + yy * y * y)
  }
  for (const { distance, weight } of off) cost += weight * distance * distance
  for (const { value, weight } of knowledge(values, model, layout)) cost += weight * value * value
  return cost
}
