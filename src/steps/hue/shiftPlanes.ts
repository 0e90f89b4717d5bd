import { LMS_ROOTS_TO_OKLAB, LMS_TO_WORKING, OKLAB_TO_LMS_ROOTS, WORKING_TO_LMS } from '../../colour/oklch.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Tile } from '../../raster/Tile.js'
import type { Rule } from './rules.js'
import { NEUTRAL_CHROMA, weight } from './weight.js'

/** Pixels at once: what goes in and out stays in the processor's cache. */
const BAND_PIXELS = 16384

/**
 * Shifts hue, chroma and lightness of working linear light, in place. Weights are taken from the colour as it came in;
 * where rules overlap, shifts of hue and lightness add and chroma factors multiply, so their order does not matter.
 * Pixels no rule takes hold of keep their bits. A kernel marks, in float32 and on the safe side, those that a rule may
 * take hold of; only they are worked out, as the roots are what takes the time.
 */
export function shiftPlanes(planes: Tile['planes'], rules: readonly Rule[]): void {
  const total = planes[0].length
  const bandBytes = BAND_PIXELS * 4
  // biome-ignore format: planes, then the rest
  const [r, g, b, matrices, windows, marks] = scratch(
    bandBytes, bandBytes, bandBytes, 15 * 4, rules.length * 12, BAND_PIXELS / 4,
  )
  const { memory, markHues } = kernels()
  const floats = new Float32Array(memory.buffer)
  const bytes = new Uint8Array(memory.buffer)
  floats.set([...WORKING_TO_LMS, ...LMS_ROOTS_TO_OKLAB.slice(3)], matrices / 4)
  floats.set(
    rules.flatMap(({ cosMiddle, sinMiddle, cosHalf }) => [cosMiddle, sinMiddle, cosHalf]),
    windows / 4,
  )
  for (let start = 0; start < total; start += BAND_PIXELS) {
    const count = Math.min(BAND_PIXELS, total - start)
    for (const [c, plane] of [r, g, b].entries()) {
      floats.set(planes[c].subarray(start, start + count), plane / 4)
      floats.fill(0, plane / 4 + count, plane / 4 + ((count + 3) & ~3))
    }
    markHues(r, g, b, (count + 3) & ~3, matrices, windows, rules.length, NEUTRAL_CHROMA, marks)
    for (let group = 0; group < count; group += 4) {
      let mark = bytes[marks + (group >> 2)]
      for (let i = start + group; mark; i++, mark >>= 1) if (mark & 1) shiftPixel(planes, i, rules)
    }
  }
}

const [l0, l1, l2, m0, m1, m2, s0, s1, s2] = WORKING_TO_LMS
const [L0, L1, L2, a0, a1, a2, b0, b1, b2] = LMS_ROOTS_TO_OKLAB
const [p0, p1, p2, q0, q1, q2, t0, t1, t2] = OKLAB_TO_LMS_ROOTS
const [r0, r1, r2, g0, g1, g2, w0, w1, w2] = LMS_TO_WORKING

/** Shifts one pixel, in float64; it keeps its bits where no rule takes hold of it. */
export function shiftPixel(
  [planeR, planeG, planeB]: Tile['planes'],
  i: number,
  rules: readonly Rule[],
): void {
  const red = planeR[i]
  const green = planeG[i]
  const blue = planeB[i]
  const rootL = Math.cbrt(l0 * red + l1 * green + l2 * blue)
  const rootM = Math.cbrt(m0 * red + m1 * green + m2 * blue)
  const rootS = Math.cbrt(s0 * red + s1 * green + s2 * blue)
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
  if (!touched) return
  const cos = factor * Math.cos(turn)
  const sin = factor * Math.sin(turn)
  const newL = L0 * rootL + L1 * rootM + L2 * rootS + lightness
  const newA = cos * a - sin * b
  const newB = sin * a + cos * b
  const long = (p0 * newL + p1 * newA + p2 * newB) ** 3
  const middle = (q0 * newL + q1 * newA + q2 * newB) ** 3
  const short = (t0 * newL + t1 * newA + t2 * newB) ** 3
  planeR[i] = r0 * long + r1 * middle + r2 * short
  planeG[i] = g0 * long + g1 * middle + g2 * short
  planeB[i] = w0 * long + w1 * middle + w2 * short
}
