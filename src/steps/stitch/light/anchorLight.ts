import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { type Correction, fieldAt } from './LightField.js'

/** Of the lightest samples this share may lie above; they are glints and noise. */
const LEFT_OUT = 0.0003
const MOST_SAMPLES = 100_000

/**
 * Lowers all captures' light by one factor where correcting would lift it above white although the captures were not:
 * what is cut off at white is lost.
 * @returns the corrections, and the factor: 1 where nothing had to be lowered
 */
export function anchorLight(
  views: readonly View[],
  used: readonly boolean[],
  corrections: readonly Correction[],
): { corrections: Correction[]; factor: number } {
  const captured: number[] = []
  const corrected: number[] = []
  for (const [i, { light, upright }] of views.entries()) {
    if (!used[i]) continue
    const { gain, field } = corrections[i]
    const [halfX, halfY] = halfExtent(upright)
    const { width, height, cell, planes } = light
    const stride = Math.max(1, Math.floor(Math.sqrt((width * height * views.length) / MOST_SAMPLES)))
    for (let y = stride >> 1; y < height; y += stride) {
      for (let x = stride >> 1; x < width; x += stride) {
        const at = y * width + x
        const factor = fieldAt(field, upright, (x + 0.5) * cell - halfX, (y + 0.5) * cell - halfY)
        captured.push(Math.max(planes[0][at], planes[1][at], planes[2][at]))
        corrected.push(
          factor * Math.max(gain[0] * planes[0][at], gain[1] * planes[1][at], gain[2] * planes[2][at]),
        )
      }
    }
  }
  const top = (values: number[]) =>
    Float64Array.from(values).sort()[Math.floor((1 - LEFT_OUT) * values.length)]
  const factor = Math.min(1, Math.max(1, top(captured)) / top(corrected))
  return {
    corrections: corrections.map(({ gain, field }) => ({
      gain: gain.map((value) => value * factor) as Correction['gain'],
      field,
    })),
    factor,
  }
}
