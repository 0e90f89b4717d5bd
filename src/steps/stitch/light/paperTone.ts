import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { type Correction, fieldAt } from './LightField.js'

/** Among all view pixels, the lightness ranks between which paper is looked for. */
const RANKS = [0.85, 0.97] as const
const MOST_PIXELS = 100_000

/**
 * The tone of the sheet's unpainted paper, after gains and fields: the mean light of the pixels between two ranks of lightness, so
 * that neither paint nor highlights decide. A stand-in for what no capture holds, not a measurement of white.
 */
export function paperTone(
  views: readonly View[],
  used: readonly boolean[],
  corrections: readonly Correction[],
): Correction['gain'] {
  const samples: [number, number, number, number][] = []
  for (const [i, { light, upright }] of views.entries()) {
    if (!used[i]) continue
    const { gain, field } = corrections[i]
    const [halfX, halfY] = halfExtent(upright)
    const stride = Math.max(1, Math.floor((light.planes[0].length * views.length) / MOST_PIXELS))
    for (let p = 0; p < light.planes[0].length; p += stride) {
      const x = ((p % light.width) + 0.5) * light.cell - halfX
      const y = (Math.floor(p / light.width) + 0.5) * light.cell - halfY
      const factor = fieldAt(field, upright, x, y)
      const [r, g, b] = light.planes.map((plane, c) => plane[p] * gain[c] * factor)
      samples.push([0.3 * r + 0.6 * g + 0.1 * b, r, g, b])
    }
  }
  samples.sort((a, b) => a[0] - b[0])
  const kept = samples.slice(Math.floor(RANKS[0] * samples.length), Math.floor(RANKS[1] * samples.length) + 1)
  return [1, 2, 3].map(
    (c) => kept.reduce((sum, sample) => sum + sample[c], 0) / kept.length,
  ) as Correction['gain']
}
