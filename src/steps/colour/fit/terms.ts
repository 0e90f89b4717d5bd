import type { Fit, Rung, Triple } from './Fit.js'
import { fieldOf } from './fieldOf.js'
import { toLight } from './toLight.js'

/** How many terms a rung builds from a colour. */
export function termCount(rung: Rung): number {
  return rung === 'root-polynomial' || rung === 'smooth' ? 6 : rung === 'root-polynomial-3' ? 13 : 3
}

/**
 * The terms of a linear colour: the colour itself, then the roots that make a polynomial of degree 2 or 3 scale with
 * the exposure (all terms are homogeneous of degree 1). Light below zero counts as none inside a root.
 * Finlayson, Mackiewicz & Hurlbert 2015, "Color correction using root-polynomial regression",
 * doi:10.1109/TIP.2015.2405336.
 */
export function termsOf(rung: Rung, r: number, g: number, b: number): number[] {
  if (termCount(rung) === 3) return [r, g, b]
  const p = Math.max(0, r)
  const q = Math.max(0, g)
  const s = Math.max(0, b)
  const squares = [r, g, b, Math.sqrt(p * q), Math.sqrt(q * s), Math.sqrt(p * s)]
  if (termCount(rung) === 6) return squares
  return [
    ...squares,
    ...[Math.cbrt(p * q * q), Math.cbrt(q * s * s), Math.cbrt(p * s * s)],
    ...[Math.cbrt(q * p * p), Math.cbrt(s * q * q), Math.cbrt(s * p * p)],
    Math.cbrt(p * q * s),
  ]
}

/** The light of the device's channels, white at 1, of a colour in the working space as captured. */
export function lightOf(
  { channels, tone }: Pick<Fit, 'channels' | 'tone'>,
  [x, y, z]: Readonly<Triple>,
): Triple {
  const at = (c: number) =>
    toLight(channels[3 * c] * x + channels[3 * c + 1] * y + channels[3 * c + 2] * z, tone[c])
  return [at(0), at(1), at(2)]
}

/** The corrected colour of a colour in the working space as captured. */
export function corrected(fit: Fit, colour: Readonly<Triple>): Triple {
  const light = lightOf(fit, colour)
  const terms = termsOf(fit.rung, ...light)
  const n = terms.length
  const row = (c: number) => terms.reduce((sum, term, k) => sum + fit.coefficients[c * n + k] * term, 0)
  const more = fit.field ? fieldOf(fit.field, light) : [0, 0, 0]
  return [row(0) + more[0], row(1) + more[1], row(2) + more[2]]
}
