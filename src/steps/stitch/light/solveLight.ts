import { solve } from '../solve.js'
import { type Correction, FLAT, type LightField } from './LightField.js'
import type { LightMatch } from './measureLight.js'
import { median } from './median.js'

/** What is to be expected, as standard deviations of logarithms: exposures' differences, */
const GAIN_SIGMA = 0.1
/**
 * the falloff all captures of one device share (a slope less than a bow: among captures lying the same way it cannot be
 * told from exposures that rise from one to the next), and what one capture has besides.
 */
const COMMON_SIGMAS: LightField = [0.015, 0.015, 0.05, 0.05, 0.05]
const OWN_SIGMA = 0.01
/** A lens's corners against its middle, and what frames share besides: a lamp by the stand. */
const LENS_SIGMA = 0.15
const STAND_SIGMA = 0.015
/** No part is trusted further than this. */
const LEAST_SIGMA = 0.003
const ITERATIONS = 8
/** Beyond this many times its expected size a disagreement counts nothing (Tukey's weights; see adjust.ts). */
const CUT = 4.685
const TERMS = FLAT.length

/**
 * What each capture's light is multiplied by so that all common areas agree together: one gain a channel, and a smooth
 * field without colour. A bow over the whole sheet could hide in the fields without any overlap telling; the captures come
 * from one device, so a field that all share is cheap and a field of one's own is dear, and no drift builds up across a
 * row. Robust least squares with these expectations; the gains' geometric mean is 1, so that no capture is the measure.
 * @param count captures, placed or not
 */
export const solveLight = (count: number, matches: readonly LightMatch[]): Correction[] =>
  solveWith(count, matches, EACH_TERM).corrections

/**
 * The same for frames of one camera: what they share first is what its lens loses towards the corners, with the square of
 * the distance from its middle, which no sheet and no lamp that stands beside it can feign in every frame.
 * @param frame its pixels on disk
 * @returns also that part of the fields; flat where corners seem lighter, as no lens makes them
 */
export function solveFrames(
  count: number,
  matches: readonly LightMatch[],
  frame: { width: number; height: number },
): { corrections: Correction[]; lens: LightField } {
  const squared = frame.width ** 2 + frame.height ** 2
  const radial: LightField = [0, 0, frame.width ** 2 / squared, 0, frame.height ** 2 / squared]
  const stand = EACH_TERM.map(({ terms }) => ({ terms, sigma: STAND_SIGMA }))
  const shared = [{ terms: radial, sigma: LENS_SIGMA }, ...stand]
  const { corrections, sizes } = solveWith(count, matches, shared)
  if (sizes[0] > 0) return { corrections, lens: radial.map((term) => term * sizes[0]) as LightField }
  return { corrections: solveLight(count, matches), lens: FLAT }
}

/** Each capture's gain alone, as a logarithm, were light even in all of them. */
export const solveExposures = (count: number, matches: readonly LightMatch[]): number[] =>
  matches.length
    ? solveRobustly(
        count,
        matches,
        matches.map(({ logs }) => (logs[0] + logs[1] + logs[2]) / 3),
      )
    : new Array<number>(count).fill(0)

/** Fields the captures may have in common, each with what is to be expected of its size. */
type Shared = readonly { terms: LightField; sigma: number }[]

const EACH_TERM: Shared = COMMON_SIGMAS.map((sigma, k) => ({
  terms: FLAT.map((_, i) => (i === k ? 1 : 0)) as LightField,
  sigma,
}))

function solveWith(
  count: number,
  matches: readonly LightMatch[],
  shared: Shared,
): { corrections: Correction[]; sizes: number[] } {
  const corrections = Array.from({ length: count }, (): Correction => ({ gain: [1, 1, 1], field: [...FLAT] }))
  if (!matches.length) return { corrections, sizes: shared.map(() => 0) }
  const mean = matches.map(({ logs }) => (logs[0] + logs[1] + logs[2]) / 3)
  const light = solveRobustly(count, matches, mean, shared)
  const common = FLAT.map((_, k) =>
    shared.reduce((sum, { terms }, s) => sum + terms[k] * light[count + s], 0),
  ) as LightField
  const captures = new Set(matches.flatMap(({ first, second }) => [first, second]))
  for (const i of captures) {
    const own = count + shared.length + TERMS * i
    corrections[i].field = common.map((value, k) => value + light[own + k]) as LightField
  }
  for (let c = 0; c < 3; c++) {
    const colour = solveRobustly(
      count,
      matches,
      matches.map(({ logs }, k) => logs[c] - mean[k]),
    )
    for (const i of captures) corrections[i].gain[c] = Math.exp(light[i] + colour[i])
    const logs = [...captures].map((i) => Math.log(corrections[i].gain[c]))
    const middle = logs.reduce((sum, log) => sum + log, 0) / logs.length
    for (const i of captures) corrections[i].gain[c] *= Math.exp(-middle)
  }
  return { corrections, sizes: light.slice(count, count + shared.length) }
}

/** Unknowns: each capture's log gain, and where fields are wanted what they share, then each capture's own. */
function solveRobustly(
  count: number,
  matches: readonly LightMatch[],
  logs: readonly number[],
  shared?: Shared,
): number[] {
  const own = count + (shared?.length ?? 0)
  const unknowns = own + (shared ? TERMS * count : 0)
  const rows = matches.map(({ first, second, a, b }) => {
    const row: [at: number, factor: number][] = [
      [first, 1],
      [second, -1],
    ]
    if (!shared) return row
    for (const [s, { terms }] of shared.entries()) {
      const factor = terms.reduce((sum, term, k) => sum + term * (a[k] - b[k]), 0)
      if (factor !== 0) row.push([count + s, factor])
    }
    for (let k = 0; k < TERMS; k++) {
      row.push([own + TERMS * first + k, a[k]], [own + TERMS * second + k, -b[k]])
    }
    return row
  })
  let weights = matches.map(() => 1 / 0.01 ** 2)
  let solution = new Array<number>(unknowns).fill(0)
  for (let iteration = 0; iteration < ITERATIONS; iteration++) {
    const normal = Array.from({ length: unknowns }, () => new Array<number>(unknowns).fill(0))
    const right = new Array<number>(unknowns).fill(0)
    for (let k = 0; k < unknowns; k++) {
      const sigma = k < count ? GAIN_SIGMA : k < own ? shared![k - count].sigma : OWN_SIGMA
      normal[k][k] = 1 / (sigma * sigma)
    }
    for (const [i, row] of rows.entries()) {
      for (const [at, factor] of row) {
        right[at] += weights[i] * factor * logs[i]
        for (const [other, by] of row) normal[at][other] += weights[i] * factor * by
      }
    }
    const next = solve(normal, right)
    if (!next) break
    solution = next
    const left = rows.map(
      (row, i) => logs[i] - row.reduce((sum, [at, factor]) => sum + factor * solution[at], 0),
    )
    const sigma = Math.max(LEAST_SIGMA, 1.4826 * median(left.map(Math.abs)))
    weights = left.map((value) => Math.max(0, 1 - (value / (CUT * sigma)) ** 2) ** 2 / (sigma * sigma))
  }
  return solution
}
