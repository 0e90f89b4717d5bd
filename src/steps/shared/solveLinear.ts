/**
 * Solves a small square system by Gaussian elimination with partial pivoting.
 * @param matrix n x n, row-major; not changed
 * @param right n values, or n rows of `columns` values
 * @param columns right-hand sides, 1 by default
 * @returns the solution laid out as `right`; undefined where the matrix is singular to working precision
 */
export function solveLinear(
  matrix: ArrayLike<number>,
  right: ArrayLike<number>,
  columns = 1,
): Float64Array | undefined {
  const n = right.length / columns
  const a = Float64Array.from(matrix)
  const x = Float64Array.from(right)
  let largest = 0
  for (const value of a) largest = Math.max(largest, Math.abs(value))
  for (let k = 0; k < n; k++) {
    let pivot = k
    for (let i = k + 1; i < n; i++) if (Math.abs(a[i * n + k]) > Math.abs(a[pivot * n + k])) pivot = i
    if (!(Math.abs(a[pivot * n + k]) > largest * 1e-13)) return undefined
    if (pivot !== k) {
      swapRows(a, n, k, pivot)
      swapRows(x, columns, k, pivot)
    }
    for (let i = k + 1; i < n; i++) {
      const factor = a[i * n + k] / a[k * n + k]
      if (factor === 0) continue
      for (let j = k; j < n; j++) a[i * n + j] -= factor * a[k * n + j]
      for (let j = 0; j < columns; j++) x[i * columns + j] -= factor * x[k * columns + j]
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let c = 0; c < columns; c++) {
      let value = x[k * columns + c]
      for (let j = k + 1; j < n; j++) value -= a[k * n + j] * x[j * columns + c]
      x[k * columns + c] = value / a[k * n + k]
    }
  }
  return x
}

function swapRows(values: Float64Array, width: number, i: number, j: number): void {
  for (let c = 0; c < width; c++) {
    const kept = values[i * width + c]
    values[i * width + c] = values[j * width + c]
    values[j * width + c] = kept
  }
}
