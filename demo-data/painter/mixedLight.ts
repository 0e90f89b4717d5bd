import type { BandsToRgb } from '../spectra/deviceWeights.js'
import { PAPER, PIGMENTS, SURFACE } from './pigments.js'

/** Density up to which the exponential is tabulated; what is denser counts as this dense. */
const DENSEST = 12
const STEPS = 8192
const TABLE = Float64Array.from({ length: STEPS + 2 }, (_, i) => Math.exp((-i * DENSEST) / STEPS))

/**
 * What an observer sees of paints on paper: three planes of linear light, 1 = perfect diffuser.
 *
 * Formula: paints are filters on the paper, R(band) = s + (1 - s) paper(band) exp(-sum of amount x density(band)), s the
 * surface's share (Beer-Lambert; P. Kubelka & F. Munk's model without scattering in the paint, Z. techn. Physik 12, 1931).
 * The exponential is read from a table between 8192 nodes; its relative error is below 3e-7.
 * @param amounts one plane of amounts a pigment
 */
export function mixedLight(
  amounts: readonly Float32Array[],
  weights: BandsToRgb,
): [Float32Array, Float32Array, Float32Array] {
  const length = amounts[0].length
  const out = [0, 1, 2].map(() => new Float32Array(length)) as [Float32Array, Float32Array, Float32Array]
  const bands = PAPER.length
  const count = PIGMENTS.length
  const [wr, wg, wb] = weights
  const scale = STEPS / DENSEST
  const densities = new Float64Array(count * bands)
  for (let p = 0; p < count; p++) {
    for (let b = 0; b < bands; b++) densities[p * bands + b] = PIGMENTS[p].density[b] * scale
  }
  const lit = PAPER.map((r) => (1 - SURFACE) * r)
  const base = weights.map((w) => w.reduce((sum, v, b) => sum + v * (SURFACE + lit[b]), 0))
  const floor = weights.map((w) => SURFACE * w.reduce((sum, v) => sum + v, 0))
  const mix = new Float64Array(bands)
  const [red, green, blue] = out
  for (let i = 0; i < length; i++) {
    mix.fill(0)
    let painted = false
    for (let p = 0; p < count; p++) {
      const amount = amounts[p][i]
      if (amount === 0) continue
      painted = true
      const from = p * bands
      for (let b = 0; b < bands; b++) mix[b] += amount * densities[from + b]
    }
    if (!painted) {
      red[i] = base[0]
      green[i] = base[1]
      blue[i] = base[2]
      continue
    }
    let r = floor[0]
    let g = floor[1]
    let l = floor[2]
    for (let b = 0; b < bands; b++) {
      const place = Math.min(mix[b], STEPS)
      const node = place | 0
      const low = TABLE[node]
      const light = lit[b] * (low + (place - node) * (TABLE[node + 1] - low))
      r += wr[b] * light
      g += wg[b] * light
      l += wb[b] * light
    }
    red[i] = r
    green[i] = g
    blue[i] = l
  }
  return out
}
