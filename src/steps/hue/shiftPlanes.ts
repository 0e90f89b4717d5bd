import { LMS_ROOTS_TO_OKLAB, LMS_TO_WORKING, OKLAB_TO_LMS_ROOTS, WORKING_TO_LMS } from '../../colour/oklch.js'
import type { Tile } from '../../raster/Tile.js'
import type { Rule } from './rules.js'
import { NEUTRAL_CHROMA, weight } from './weight.js'

/**
 * Where the cone responses are so alike, as a share of the least, the chroma is below `NEUTRAL_CHROMA` whatever the
 * lightness, and no roots need be taken. The rows of a and b have absolute sums of opposite signs of 2.43 and 0.81, so
 * chroma is at most 2.57 times the spread of the roots; and the spread of the roots is at most a third of that of the
 * responses over the least response (over its 2/3rd power, which is larger up to 1).
 */
const ALIKE = (3 * NEUTRAL_CHROMA) / 2.57

/**
 * Shifts hue, chroma and lightness of working linear light, in place. Weights are taken from the colour as it came in;
 * where rules overlap, shifts of hue and lightness add and chroma factors multiply, so their order does not matter.
 * Pixels no rule takes hold of keep their bits.
 */
export function shiftPlanes([planeR, planeG, planeB]: Tile['planes'], rules: readonly Rule[]): void {
  const [l0, l1, l2, m0, m1, m2, s0, s1, s2] = WORKING_TO_LMS
  const [L0, L1, L2, a0, a1, a2, b0, b1, b2] = LMS_ROOTS_TO_OKLAB
  const [p0, p1, p2, q0, q1, q2, t0, t1, t2] = OKLAB_TO_LMS_ROOTS
  const [r0, r1, r2, g0, g1, g2, w0, w1, w2] = LMS_TO_WORKING
  for (let i = 0; i < planeR.length; i++) {
    const red = planeR[i]
    const green = planeG[i]
    const blue = planeB[i]
    const l = l0 * red + l1 * green + l2 * blue
    const m = m0 * red + m1 * green + m2 * blue
    const s = s0 * red + s1 * green + s2 * blue
    const least = Math.min(l, m, s)
    if (Math.max(l, m, s) - least <= ALIKE * Math.min(least, 1)) continue
    const rootL = Math.cbrt(l)
    const rootM = Math.cbrt(m)
    const rootS = Math.cbrt(s)
    const a = a0 * rootL + a1 * rootM + a2 * rootS
    const b = b0 * rootL + b1 * rootM + b2 * rootS
    const chroma = Math.sqrt(a * a + b * b)
    let touched = false
    let turn = 0
    let factor = 1
    let lightness = 0
    for (const rule of rules) {
      const held = weight(rule, a, b, chroma)
      if (held === 0) continue
      touched = true
      turn += held * rule.shiftRadians
      factor *= 1 + held * rule.chromaGain
      lightness += held * rule.lightness
    }
    if (!touched) continue
    const cos = factor * Math.cos(turn)
    const sin = factor * Math.sin(turn)
    const newL = L0 * rootL + L1 * rootM + L2 * rootS + lightness
    const newA = cos * a - sin * b
    const newB = sin * a + cos * b
    const newRootL = p0 * newL + p1 * newA + p2 * newB
    const newRootM = q0 * newL + q1 * newA + q2 * newB
    const newRootS = t0 * newL + t1 * newA + t2 * newB
    const long = newRootL * newRootL * newRootL
    const middle = newRootM * newRootM * newRootM
    const short = newRootS * newRootS * newRootS
    planeR[i] = r0 * long + r1 * middle + r2 * short
    planeG[i] = g0 * long + g1 * middle + g2 * short
    planeB[i] = w0 * long + w1 * middle + w2 * short
  }
}
