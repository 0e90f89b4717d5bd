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
  const samples: number[][] = [[], [], [], []]
  const [lightness, ...channels] = samples
  for (const [i, { light, upright }] of views.entries()) {
    if (!used[i]) continue
    const { gain, field } = corrections[i]
    const [halfX, halfY] = halfExtent(upright)
    const stride = Math.max(1, Math.floor((light.planes[0].length * views.length) / MOST_PIXELS))
    for (let p = 0; p < light.planes[0].length; p += stride) {
      const x = ((p % light.width) + 0.5) * light.cell - halfX
      const y = (Math.floor(p / light.width) + 0.5) * light.cell - halfY
      const factor = fieldAt(field, upright, x, y)
      for (let c = 0; c < 3; c++) channels[c].push(light.planes[c][p] * gain[c] * factor)
      const at = lightness.length
      lightness.push(0.3 * channels[0][at] + 0.6 * channels[1][at] + 0.1 * channels[2][at])
    }
  }
  const sorted = Float64Array.from(lightness).sort()
  const [least, most] = RANKS.map((rank) => sorted[Math.floor(rank * sorted.length)])
  const sums = [0, 0, 0]
  let kept = 0
  for (let k = 0; k < lightness.length; k++) {
    if (lightness[k] < least || lightness[k] > most) continue
    for (let c = 0; c < 3; c++) sums[c] += channels[c][k]
    kept++
  }
  return sums.map((sum) => sum / kept) as Correction['gain']
}
