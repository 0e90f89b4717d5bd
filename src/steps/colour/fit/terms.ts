import type { Rung } from './Fit.js'

/** How many terms a rung builds from a colour. */
export function termCount(rung: Rung): number {
  return rung === 'root-polynomial' ? 6 : rung === 'root-polynomial-3' ? 13 : 3
}

/**
 * The terms of a linear colour: the colour itself, then the roots that make a polynomial of degree 2 or 3 scale with
 * the exposure (all terms are homogeneous of degree 1). Light below zero counts as none inside a root.
 * Finlayson, Mackiewicz & Hurlbert 2015, "Color correction using root-polynomial regression",
 * doi:10.1109/TIP.2015.2405336.
 */
export function termsOf(rung: Rung, r: number, g: number, b: number): number[] {
  if (rung === 'gains' || rung === 'matrix') return [r, g, b]
  const p = Math.max(0, r)
  const q = Math.max(0, g)
  const s = Math.max(0, b)
  const squares = [r, g, b, Math.sqrt(p * q), Math.sqrt(q * s), Math.sqrt(p * s)]
  if (rung === 'root-polynomial') return squares
  return [
    ...squares,
    ...[Math.cbrt(p * q * q), Math.cbrt(q * s * s), Math.cbrt(p * s * s)],
    ...[Math.cbrt(q * p * p), Math.cbrt(s * q * q), Math.cbrt(s * p * p)],
    Math.cbrt(p * q * s),
  ]
}

/** The corrected colour. */
export function corrected(
  { rung, coefficients }: { rung: Rung; coefficients: readonly number[] },
  [r, g, b]: readonly [number, number, number],
): [number, number, number] {
  const terms = termsOf(rung, r, g, b)
  const n = terms.length
  const row = (c: number) => terms.reduce((sum, term, k) => sum + coefficients[c * n + k] * term, 0)
  return [row(0), row(1), row(2)]
}
