import { blurred } from './blurred.js'
import type { Canvas } from './Canvas.js'
import { fieldRow } from './fieldRow.js'
import { PIGMENTS } from './pigments.js'
import { sampledField } from './sampledField.js'

/** How much of a strongly granulating paint moves into a valley one deviation deep. */
const STRENGTH = 0.19
/** Deviation of what the two blurs leave of an ordinary tooth. */
const TYPICAL = 0.75
/** Paint neither leaves a top bare nor piles up without end. */
const LEAST = 0.35
const MOST = 1.9

/**
 * Lets heavy pigments settle in the sheet's valleys: amounts change in place.
 * @returns what it did to the painted density, a share per pixel: 0 = even, 0.3 = 30 % more paint than spread evenly
 */
export function granulate({ width, height, pxPerMm, amounts, grain, noises }: Canvas): Float32Array {
  const near = blurred(grain, width, height, 0.09 * pxPerMm)
  const far = blurred(near, width, height, 0.9 * pxPerMm)
  for (let i = 0; i < near.length; i++) near[i] = far[i] - near[i]
  // In depths of an ordinary tooth: a smooth sheet has hardly a valley to settle in.
  const valley = near
  // How wet it was, and so how far paint could travel, differs from place to place.
  const wet = sampledField({ x: 0, y: 0, width, height }, 8, (x, y) => {
    const noise = noises[0](x / (16 * pxPerMm) + 40, y / (11 * pxPerMm))
    return (STRENGTH / TYPICAL) * Math.min(Math.max(0.95 + 0.85 * noise, 0.3), 1.6)
  })
  const scales = new Float32Array(width)
  const share = new Float32Array(valley.length)
  const weights = PIGMENTS.map(({ density }) => density.reduce((a, b) => a + b, 0) / density.length)
  for (let i = 0; i < share.length; i++) {
    if (i % width === 0) fieldRow(wet, i / width, scales)
    const scale = scales[i % width]
    let before = 0
    let after = 0
    for (let p = 0; p < amounts.length; p++) {
      const amount = amounts[p][i]
      if (amount === 0) continue
      const factor = Math.min(Math.max(1 + scale * PIGMENTS[p].granulates * valley[i], LEAST), MOST)
      amounts[p][i] = amount * factor
      before += weights[p] * amount
      after += weights[p] * amount * factor
    }
    share[i] = before > 0 ? after / before - 1 : 0
  }
  return share
}
