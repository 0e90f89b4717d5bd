import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { places } from '../places.js'

/** Headlands in the distance and the strip of sea before them. */
export function land(canvas: Canvas): void {
  const [a, b] = canvas.noises
  layWash(canvas, {
    outline: places(`
  0.3 0.448, 0.34 0.418, 0.41 0.4, 0.47 0.404, 0.52 0.415, 0.58 0.428, 0.64 0.44,
  0.66 0.45, 0.5 0.452
`),
    rounded: true,
    wanderMm: 0.35,
    softMm: 1.2,
    lost: 0.4,
    pool: 0.45,
    mix(u, v, mix) {
      mix['deep blue'] = 0.3 + 0.05 * a(u * 12, v * 12)
      mix['shadow grey'] = 0.09
      mix.red = 0.03
    },
  })
  layWash(canvas, {
    outline: places(`
  0.052 0.452, 0.05 0.352, 0.09 0.338, 0.13 0.345, 0.165 0.33, 0.2 0.343, 0.235 0.362,
  0.27 0.372, 0.3 0.392, 0.345 0.405, 0.38 0.43, 0.42 0.448, 0.3 0.455
`),
    rounded: true,
    wanderMm: 0.5,
    wanderLengthMm: 4,
    pool: 0.7,
    mix(u, v, mix) {
      const low = Math.min(Math.max((v - 0.36) / 0.09, 0), 1)
      const patch = a(u * 14, v * 16)
      mix['deep blue'] = 0.5 - 0.22 * low + 0.1 * patch
      mix['shadow grey'] = 0.22 - 0.1 * low
      mix['yellow earth'] = 0.12 + 0.32 * Math.max(b(u * 9, v * 14), 0) + 0.1 * low
      mix['red earth'] = 0.05
    },
  })
  // Trees and a shadowed side, dropped in on top when dry.
  layWash(canvas, {
    outline: places(`
  0.052 0.4, 0.08 0.372, 0.12 0.38, 0.155 0.362, 0.19 0.38, 0.23 0.4, 0.28 0.415,
  0.33 0.438, 0.2 0.436, 0.12 0.42, 0.052 0.43
`),
    rounded: true,
    wanderMm: 1,
    wanderLengthMm: 2.5,
    softMm: 1.6,
    lost: 0.5,
    pool: 0.5,
    mix(u, v, mix) {
      mix['deep blue'] = 0.28
      mix['shadow grey'] = 0.2 + 0.1 * b(u * 20, v * 30)
      mix['yellow earth'] = 0.3
    },
  })
  sea(canvas)
}

function sea(canvas: Canvas): void {
  const [a, b, c] = canvas.noises
  layWash(canvas, {
    outline: places(`
  0.05 0.451, 0.3 0.453, 0.55 0.4525, 0.66 0.453, 0.66 0.492, 0.45 0.487, 0.25 0.498,
  0.048 0.487
`),
    wanderMm: 0.22,
    wanderLengthMm: 12,
    frayMm: 0.22,
    pool: 0.6,
    mix(u, v, mix) {
      const shine = Math.max(a(u * 5, v * 60) - 0.05, 0)
      mix['sky blue'] = Math.max(0.2 - 0.28 * shine, 0.012)
      mix['deep blue'] = Math.max(0.13 + 0.1 * b(u * 6, v * 50) - 0.2 * shine, 0)
      mix['shadow grey'] = Math.max(0.08 * c(u * 5, v * 40), 0)
    },
  })
  const ripples: [Place, Place, number][] = [
    [[0.08, 0.463], [0.27, 0.4625], 0.5],
    [[0.2, 0.474], [0.43, 0.4745], 0.6],
    [[0.39, 0.462], [0.56, 0.4628], 0.55],
    [[0.5, 0.477], [0.63, 0.4768], 0.6],
    [[0.07, 0.481], [0.17, 0.4815], 0.7],
  ]
  for (const [from, to, dry] of ripples) {
    const middle: Place = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2 + 0.001]
    brushStroke(canvas, {
      through: [from, middle, to],
      width: 0.005,
      paint: { 'deep blue': 0.34, 'sky blue': 0.12 },
      dry,
    })
  }
}
