import type { PaperWindow } from '../../shared/paper/PaperWindow.js'

/** A polynomial of the light over the frame, log2 against its middle; one row of coefficients a channel. */
export interface LightSurface {
  degree: number
  coefficients: [Float64Array, Float64Array, Float64Array]
}

/** Terms of each degree about the frame's middle, x and y in -1..1, without the constant. */
export function termsAt(degree: number, u: number, v: number): number[] {
  const [x, y] = [2 * u - 1, 2 * v - 1]
  const terms: number[] = []
  for (let d = 1; d <= degree; d++) for (let k = 0; k <= d; k++) terms.push(x ** (d - k) * y ** k)
  return terms
}

/** The light at a place, log2 against the constant. */
export function lightAt(
  { degree, coefficients }: LightSurface,
  channel: number,
  u: number,
  v: number,
): number {
  return termsAt(degree, u, v).reduce((sum, term, i) => sum + term * coefficients[channel][i], 0)
}

export interface FittedLight {
  surface: LightSurface
  /** Of green, log2. */
  levels: number[]
  /** Of each window: its deviation in green, and in its tint (red and blue against green), log2. */
  deviations: Float64Array
  tints: Float64Array
}

/**
 * Least squares of the light's surface through windows of paper, with one level for the paper itself, or one a capture
 * where the exposures may differ.
 * @param levelOf which level a window belongs to: 0..levels-1
 * @returns undefined where it is not fixed
 */
export function fitLight(
  windows: readonly PaperWindow[],
  degree: number,
  levels: number,
  levelOf: (window: PaperWindow) => number,
): FittedLight | undefined {
  const slopes = termsAt(degree, 0, 0).length
  const n = slopes + levels
  const rows = windows.map((window) => {
    const row = new Float64Array(n)
    row.set(termsAt(degree, window.u, window.v))
    row[slopes + levelOf(window)] = 1
    return row
  })
  const solved = [0, 1, 2].map((c) => leastSquares(rows, (i) => windows[i].light[c], n))
  if (solved.some((one) => one === undefined)) return undefined
  const [red, green, blue] = solved as Float64Array[]
  const [r, g, b] = [red, green, blue].map((channel, c) =>
    Float64Array.from(
      rows,
      (row, i) => windows[i].light[c] - row.reduce((sum, value, k) => sum + value * channel[k], 0),
    ),
  )
  return {
    surface: { degree, coefficients: [red.slice(0, slopes), green.slice(0, slopes), blue.slice(0, slopes)] },
    levels: Array.from(green.slice(slopes)),
    deviations: g,
    tints: g.map((deviation, i) => Math.hypot(r[i] - deviation, b[i] - deviation)),
  }
}

/** A trace of damping, so that windows in one line give a plane that is level across it, and not any. */
const DAMPING = 1e-5

/** Normal equations by Cholesky's method. */
function leastSquares(
  rows: readonly Float64Array[],
  observed: (row: number) => number,
  n: number,
): Float64Array | undefined {
  const a = new Float64Array(n * n)
  const b = new Float64Array(n)
  rows.forEach((row, r) => {
    const value = observed(r)
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) a[i * n + j] += row[i] * row[j]
      b[i] += row[i] * value
    }
  })
  for (let i = 0; i < n; i++) a[i * n + i] += DAMPING * rows.length
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]
      for (let k = 0; k < j; k++) sum -= a[i * n + k] * a[j * n + k]
      if (i === j) {
        if (!(sum > 0)) return undefined
        a[i * n + i] = Math.sqrt(sum)
      } else a[i * n + j] = sum / a[j * n + j]
    }
  }
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) b[i] -= a[i * n + k] * b[k]
    b[i] /= a[i * n + i]
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) b[i] -= a[k * n + i] * b[k]
    b[i] /= a[i * n + i]
  }
  return b
}
