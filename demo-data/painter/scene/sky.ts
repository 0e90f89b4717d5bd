import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { places } from '../places.js'

const step = (low: number, high: number, x: number) => {
  const t = Math.min(Math.max((x - low) / (high - low), 0), 1)
  return t * t * (3 - 2 * t)
}

/** The sky: blue let into wet paper from above, warm towards the horizon, clouds lifted out while wet, and a few gulls. */
export function sky(canvas: Canvas): void {
  const [cloudNoise, colourNoise, bloomNoise] = canvas.noises
  const edge: Place[] = places(`
  0.05 0.075, 0.2 0.06, 0.36 0.068, 0.52 0.055, 0.7 0.066, 0.86 0.058, 0.95 0.07,
  0.956 0.2, 0.948 0.34, 0.955 0.445, 0.7 0.452, 0.5 0.45, 0.3 0.453, 0.052 0.447,
  0.044 0.3, 0.052 0.18
`)
  layWash(canvas, {
    outline: edge,
    rounded: true,
    wanderMm: 1.1,
    frayMm: 0.09,
    softMm: 2.2,
    lost: 0.35,
    pool: 0.75,
    mix(u, v, mix) {
      const down = (v - 0.05) / 0.4
      const drift = cloudNoise(u * 2.6 + 3, v * 4.4 - u * 0.9)
      const billow = cloudNoise(u * 7 + 11, v * 10)
      const heap = drift + 0.42 * billow + 0.16 * cloudNoise(u * 19, v * 25) + 0.3 * step(0.2, 0.6, down)
      const cloud = step(-0.02, 0.2 + 0.25 * step(-0.3, 0.5, bloomNoise(u * 2 + 9, v * 3)), heap - 0.16)
      const belly =
        step(-0.05, 0.35, drift + 0.3 * billow - 0.22 + 0.3 * (down - 0.45)) *
        (1 - step(0.0, 0.5, cloudNoise(u * 2.6 + 3, (v + 0.05) * 4.4 - u * 0.9)))
      const streak = 1 + 0.16 * colourNoise(u * 9 + v * 3, v * 5) + 0.1 * bloomNoise(u * 30, v * 26)
      const blue = (1 - down) ** 1.1 * (1 - 0.93 * cloud) * streak
      mix['sky blue'] = 0.34 * blue + 0.02 * (1 - cloud)
      mix['deep blue'] = 0.42 * blue * (0.75 + 0.5 * step(-0.3, 0.5, colourNoise(u * 2, v * 2 + 5)))
      mix['shadow grey'] = 0.02 + 0.19 * belly * step(0.05, 0.35, down) * streak
      mix['deep blue'] += 0.1 * belly * streak
      mix['yellow earth'] = 0.2 * step(0.45, 1, down) * (0.8 + 0.4 * colourNoise(u * 3 + 7, v * 3))
      mix.red = 0.035 * step(0.35, 0.95, down) * (0.6 + 0.8 * step(-0.4, 0.5, bloomNoise(u * 2, v * 4)))
    },
  })
  bloom(canvas, 0.235, 0.16, 0.045)
  bloom(canvas, 0.83, 0.21, 0.03)
  for (const [u, v, size] of [
    [0.405, 0.2, 0.016],
    [0.44, 0.235, 0.011],
    [0.375, 0.255, 0.009],
    [0.53, 0.18, 0.008],
  ]) {
    const paint = { 'shadow grey': 0.75, 'deep blue': 0.35 }
    const wing = { width: size * 0.17, leastMm: 0.22, taper: 0.9, paint, fade: 0.9 }
    brushStroke(canvas, {
      ...wing,
      through: [
        [u - size, v - size * 0.5],
        [u - size * 0.5, v - size * 0.62],
        [u, v],
      ],
    })
    brushStroke(canvas, {
      ...wing,
      through: [
        [u + size * 1.05, v - size * 0.75],
        [u + size * 0.5, v - size * 0.66],
        [u, v],
      ],
    })
  }
}

/** Where a drop of water ran into the drying wash and pushed the paint to a feathered rim. */
function bloom(canvas: Canvas, u0: number, v0: number, radius: number): void {
  const { noises, width, height } = canvas
  const around = Array.from({ length: 14 }, (_, i): Place => {
    const a = (i / 14) * 2 * Math.PI
    const r = radius * (1 + 0.25 * noises[1](Math.cos(a) * 1.3 + u0 * 20, Math.sin(a) * 1.3))
    return [u0 + (r * Math.cos(a) * height) / width, v0 + r * Math.sin(a)]
  })
  layWash(canvas, {
    outline: around,
    rounded: true,
    wanderMm: 0.7,
    wanderLengthMm: 2.2,
    frayMm: 0.12,
    pool: 16,
    poolMm: 0.5,
    softMm: 0.8,
    lost: 0.45,
    mix(_u, _v, mix) {
      mix['deep blue'] = 0.01
      mix['shadow grey'] = 0.003
    },
  })
}
