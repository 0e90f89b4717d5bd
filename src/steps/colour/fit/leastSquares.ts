import { solveLinear } from '../../shared/solveLinear.js'

/**
 * Minimises a sum of squares by the Levenberg-Marquardt method with a numerical Jacobian.
 * @param residuals the values whose squares are summed, for given parameters
 * @param start first guess
 * @param stepSize of the numerical derivative, in the parameters' unit
 * @returns the best parameters found; never worse than the start
 * Source: Marquardt 1963, "An algorithm for least-squares estimation of nonlinear parameters", doi:10.1137/0111030.
 */
export function leastSquares(
  residuals: (parameters: Float64Array) => Float64Array,
  start: ArrayLike<number>,
  { stepSize = 1e-5, rounds = 40, tolerance = 1e-7 } = {},
): Float64Array {
  let at = Float64Array.from(start)
  const n = at.length
  if (n === 0) return at
  let values = residuals(at)
  let cost = sumOfSquares(values)
  let damping = 1e-3
  for (let round = 0; round < rounds; round++) {
    const columns = Array.from(at, (value, k) => {
      const moved = Float64Array.from(at)
      moved[k] = value + stepSize
      const ahead = residuals(moved)
      return ahead.map((v, i) => (v - values[i]) / stepSize)
    })
    const normal = new Float64Array(n * n)
    const right = new Float64Array(n)
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        normal[i * n + j] = dot(columns[i], columns[j])
        normal[j * n + i] = normal[i * n + j]
      }
      right[i] = -dot(columns[i], values)
    }
    let better = false
    while (damping < 1e9 && !better) {
      const damped = Float64Array.from(normal)
      for (let i = 0; i < n; i++) damped[i * n + i] += damping * (normal[i * n + i] + 1e-9)
      const step = solveLinear(damped, right)
      const next = step && at.map((value, i) => value + step[i])
      const nextValues = next && residuals(next)
      const nextCost = nextValues ? sumOfSquares(nextValues) : Number.POSITIVE_INFINITY
      if (next && nextValues && nextCost < cost) {
        const gained = (cost - nextCost) / cost
        at = next
        values = nextValues
        cost = nextCost
        damping = Math.max(1e-9, damping / 5)
        if (gained < tolerance) return at
        better = true
      } else damping *= 4
    }
    if (!better) break
  }
  return at
}

const sumOfSquares = (values: Float64Array) => dot(values, values)

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}
