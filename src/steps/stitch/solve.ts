/**
 * Solves a linear system by elimination with row exchange.
 * @param matrix n rows of n; not changed
 * @returns the solution, or undefined where the matrix has none that can be trusted
 */
export function solve(
  matrix: readonly (readonly number[])[],
  right: readonly number[],
): number[] | undefined {
  const n = right.length
  const rows = matrix.map((row, i) => Float64Array.from([...row, right[i]]))
  // Rows are scaled to their largest entry, so that units (pixels, radians) do not decide what counts as nothing.
  for (const row of rows) {
    const largest = row.subarray(0, n).reduce((most, value) => Math.max(most, Math.abs(value)), 0)
    if (!(largest > 0)) return undefined
    for (let k = 0; k <= n; k++) row[k] /= largest
  }
  for (let i = 0; i < n; i++) {
    let pivot = i
    for (let r = i + 1; r < n; r++) if (Math.abs(rows[r][i]) > Math.abs(rows[pivot][i])) pivot = r
    if (!(Math.abs(rows[pivot][i]) > 1e-14)) return undefined
    ;[rows[i], rows[pivot]] = [rows[pivot], rows[i]]
    for (let r = i + 1; r < n; r++) {
      const factor = rows[r][i] / rows[i][i]
      if (factor === 0) continue
      for (let k = i; k <= n; k++) rows[r][k] -= factor * rows[i][k]
    }
  }
  const solution = new Array<number>(n).fill(0)
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i][n]
    for (let k = i + 1; k < n; k++) sum -= rows[i][k] * solution[k]
    solution[i] = sum / rows[i][i]
  }
  return solution
}
