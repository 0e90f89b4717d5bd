import { solveLinear } from '../../shared/solveLinear.js'

/**
 * Least squares of one row in linear light, each patch weighted about as the eye sees its lightness. The row's
 * coefficients sum to 1, so that white, at 1 in every term, is met.
 * @param c the row's own term
 * @param terms one list a patch
 * @param wanted three values a patch, of which the `c`th is met
 * @returns the coefficients but the own one, which is what the others leave of 1
 */
export function linearRow(
  c: number,
  terms: readonly (readonly number[])[],
  wanted: readonly (readonly number[])[],
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
