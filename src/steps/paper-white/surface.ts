/** A polynomial over the picture: coefficients of 1, u, v, u^2, uv, v^2 with u, v = pixel position / longer side. */
export type Surface = [number, number, number, number, number, number]

const terms = (u: number, v: number) => [1, u, v, u * u, u * v, v * v]
const COUNT = [1, 3, 6]

/** The surface's value at u, v. */
export function surfaceAt(surface: Surface, u: number, v: number): number {
  return terms(u, v).reduce((sum, term, i) => sum + term * surface[i], 0)
}

/**
 * Least-squares surface through samples.
 * @param order 0 constant, 1 plane, 2 quadratic
 */
export function fitSurface(
  samples: readonly { u: number; v: number; value: number }[],
  order: 0 | 1 | 2,
): Surface {
  const n = COUNT[order]
  const a = Array.from({ length: n }, () => new Float64Array(n + 1))
  for (const { u, v, value } of samples) {
    const t = terms(u, v)
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) a[i][j] += t[i] * t[j]
      a[i][n] += t[i] * value
    }
  }
  // A trace of damping on all but the constant keeps samples in one line solvable.
  for (let i = 1; i < n; i++) a[i][i] += 1e-6 * samples.length
  for (let i = 0; i < n; i++) {
    for (let k = i + 1; k < n; k++) {
      const factor = a[k][i] / a[i][i]
      for (let j = i; j <= n; j++) a[k][j] -= factor * a[i][j]
    }
  }
  const surface: Surface = [0, 0, 0, 0, 0, 0]
  for (let i = n - 1; i >= 0; i--) {
    let sum = a[i][n]
    for (let j = i + 1; j < n; j++) sum -= a[i][j] * surface[j]
    surface[i] = sum / a[i][i]
  }
  return surface
}
