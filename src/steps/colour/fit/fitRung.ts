import { differenceVector } from './differenceVector.js'
import type { Fit, Rung, Triple } from './Fit.js'
import { labOfWorking, workingOfLab } from './labOfWorking.js'
import { leastSquares } from './leastSquares.js'
import { solveLinear } from './solveLinear.js'
import { termCount, termsOf } from './terms.js'

/** Measured patches beside what they should be. */
export interface FitData {
  /** Linear, working space. */
  measured: readonly Readonly<Triple>[]
  labD50: readonly Readonly<Triple>[]
  /** Patches that take part. */
  used: readonly number[]
  /** The patch that is met exactly: the lightest grey. */
  anchor: number
}

/**
 * How strongly the terms beyond a channel's own are held back, as the square root of the weight beside errors in
 * dE2000. The matrix is held well enough by 24 patches; the roots are not, as several of them run almost alike.
 */
const RESTRAINT: Record<Rung, number> = {
  gains: 0,
  matrix: 0,
  'root-polynomial': 0.3,
  'root-polynomial-3': 0.6,
}

/**
 * Fits one rung so that the anchor patch is met exactly and the others in CIEDE2000: weighted least squares in linear
 * light first, refined by Levenberg-Marquardt on the difference taken apart into lightness, chroma and hue.
 *
 * With the measured colours divided by the anchor's and the targets by its target, meeting the anchor means that the
 * coefficients of each row sum to 1; each channel's own coefficient is what the others leave.
 * @throws RangeError where the anchor measures no light in a channel
 */
export function fitRung(rung: Rung, { measured, labD50, used, anchor }: FitData): Fit {
  const white = measured[anchor]
  if (!white.every((value) => value > 0)) throw new RangeError('the white patch holds no light')
  const target = workingOfLab(labD50[anchor])
  const n = termCount(rung)
  const terms = used.map((k) => termsOf(rung, ...(measured[k].map((v, c) => v / white[c]) as Triple)))
  const wanted = used.map((k) => workingOfLab(labD50[k]).map((v, c) => v / target[c]))
  const free = rung === 'gains' ? 0 : n - 1
  const rows = (parameters: ArrayLike<number>) => fullRows(parameters, free, n)
  const colourOf = (full: readonly number[], at: readonly number[]): Triple =>
    [0, 1, 2].map((c) => at.reduce((sum, term, k) => sum + full[c * n + k] * term, 0) * target[c]) as Triple
  const restraint = RESTRAINT[rung]
  const residuals = (parameters: Float64Array) => {
    const full = rows(parameters)
    const errors = used.flatMap((k, i) => differenceVector(labD50[k], labOfWorking(colourOf(full, terms[i]))))
    return Float64Array.from(restraint > 0 ? [...errors, ...parameters.map((p) => restraint * p)] : errors)
  }
  const start = [0, 1, 2].flatMap((c) => linearStart(c, terms, wanted, free, restraint))
  const parameters = leastSquares(residuals, start, { tolerance: 1e-6 })
  const full = rows(parameters)
  // Back from divided colours to colours: a term of a colour divided by white is the term divided by white's term.
  const whiteTerms = termsOf(rung, ...white)
  const coefficients = full.map((v, k) => (v * target[Math.floor(k / n)]) / whiteTerms[k % n])
  return { rung, coefficients }
}

/** Coefficient rows from free parameters: each row's own channel takes what the row's others leave of 1. */
function fullRows(parameters: ArrayLike<number>, free: number, n: number): number[] {
  const full = new Array<number>(3 * n).fill(0)
  for (let c = 0; c < 3; c++) {
    let rest = 1
    for (let k = 0, p = c * free; k < n && free > 0; k++) {
      if (k === c) continue
      full[c * n + k] = parameters[p++]
      rest -= full[c * n + k]
    }
    full[c * n + c] = rest
  }
  return full
}

/** Least squares of one row in linear light, each patch weighted about as the eye sees its lightness. */
function linearStart(
  c: number,
  terms: readonly number[][],
  wanted: readonly number[][],
  free: number,
  restraint: number,
): number[] {
  const normal = new Float64Array(free * free)
  const right = new Float64Array(free)
  terms.forEach((at, i) => {
    const weight = 1 / (wanted[i][1] ** 2 + 1e-4) ** (2 / 3)
    const row = at.filter((_, k) => k !== c).map((term) => term - at[c])
    const value = wanted[i][c] - at[c]
    for (let a = 0; a < free; a++) {
      for (let b = 0; b < free; b++) normal[a * free + b] += weight * row[a] * row[b]
      right[a] += weight * row[a] * value
    }
  })
  for (let a = 0; a < free; a++) normal[a * free + a] += 1e-9 + 1e-3 * restraint ** 2
  return free > 0 ? [...(solveLinear(normal, right) ?? new Float64Array(free))] : []
}
