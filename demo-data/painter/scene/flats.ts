import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { maskPaper } from '../maskPaper.js'

/** Wet shine on the mud that stays paper. */
export function maskFlats(canvas: Canvas): void {
  maskPaper(
    canvas,
    [
      [0.07, 0.6],
      [0.16, 0.592],
      [0.2, 0.597],
      [0.16, 0.604],
      [0.09, 0.607],
    ],
    true,
  )
  maskPaper(
    canvas,
    [
      [0.46, 0.553],
      [0.53, 0.55],
      [0.57, 0.555],
      [0.52, 0.56],
    ],
    true,
  )
  maskPaper(
    canvas,
    [
      [0.6, 0.705],
      [0.66, 0.698],
      [0.72, 0.703],
      [0.68, 0.712],
      [0.63, 0.713],
    ],
    true,
  )
}

/** Mud flats with a tide channel that winds to the sea. */
export function flats(canvas: Canvas): void {
  const [a, b, c] = canvas.noises
  const { random } = canvas
  layWash(canvas, {
    outline: [
      [0.047, 0.503],
      [0.14, 0.512],
      [0.25, 0.506],
      [0.36, 0.499],
      [0.5, 0.497],
      [0.61, 0.512],
      [0.7, 0.54],
      [0.8, 0.565],
      [0.9, 0.592],
      [0.955, 0.606],
      [0.951, 0.72],
      [0.957, 0.85],
      [0.945, 0.925],
      [0.82, 0.938],
      [0.66, 0.93],
      [0.5, 0.942],
      [0.34, 0.932],
      [0.18, 0.94],
      [0.06, 0.93],
      [0.05, 0.8],
      [0.043, 0.65],
    ],
    rounded: true,
    wanderMm: 0.9,
    frayMm: 0.12,
    pool: 0.85,
    softMm: 1.6,
    lost: 0.2,
    mix(u, v, mix) {
      const near = Math.min(Math.max((v - 0.5) / 0.42, 0), 1)
      const flow = a(u * 3.2 + v, v * 9)
      const grainy = b(u * 22, v * 26)
      mix['yellow earth'] = 0.34 + 0.2 * flow + 0.16 * near
      mix['red earth'] = Math.max(0.09 + 0.16 * near + 0.14 * b(u * 4, v * 7) + 0.03 * grainy, 0)
      mix['shadow grey'] = Math.max(0.04 + 0.12 * near * (1 + c(u * 5, v * 8)) + 0.03 * grainy, 0)
      mix['deep blue'] = Math.max(0.06 + 0.16 * c(u * 2.6, v * 6 + 2), 0)
    },
  })
  channel(canvas)
  const banks: Place[][] = [
    [
      [0.05, 0.56],
      [0.13, 0.548],
      [0.24, 0.553],
      [0.31, 0.568],
      [0.26, 0.58],
      [0.16, 0.578],
      [0.07, 0.588],
    ],
    [
      [0.62, 0.6],
      [0.73, 0.592],
      [0.86, 0.618],
      [0.95, 0.64],
      [0.95, 0.68],
      [0.85, 0.662],
      [0.72, 0.63],
      [0.65, 0.618],
    ],
    [
      [0.05, 0.735],
      [0.14, 0.715],
      [0.25, 0.728],
      [0.34, 0.76],
      [0.31, 0.79],
      [0.2, 0.775],
      [0.1, 0.79],
      [0.05, 0.78],
    ],
    [
      [0.6, 0.79],
      [0.7, 0.765],
      [0.82, 0.77],
      [0.93, 0.745],
      [0.95, 0.8],
      [0.86, 0.83],
      [0.74, 0.82],
      [0.65, 0.835],
    ],
    [
      [0.06, 0.86],
      [0.2, 0.842],
      [0.36, 0.862],
      [0.5, 0.87],
      [0.62, 0.9],
      [0.5, 0.925],
      [0.3, 0.92],
      [0.14, 0.928],
      [0.06, 0.915],
    ],
  ]
  banks.forEach((outline, i) => {
    layWash(canvas, {
      outline,
      rounded: true,
      wanderMm: 1.3,
      wanderLengthMm: 6,
      frayMm: 0.14,
      pool: 0.7,
      softMm: 2.2,
      lost: 0.42,
      mix(u, v, mix) {
        const near = Math.min(Math.max((v - 0.5) / 0.42, 0), 1)
        mix['red earth'] = 0.13 + 0.2 * near + 0.1 * a(u * 9, v * 18 + i)
        mix['shadow grey'] = 0.09 + 0.14 * near + 0.06 * c(u * 14, v * 30)
        mix['deep blue'] = 0.07 + 0.16 * near * Math.max(b(u * 5, v * 9), 0)
        mix['yellow earth'] = 0.12
      },
    })
  })
  // Ridges the ebb left, dry brush.
  for (let i = 0; i < 46; i++) {
    const v = 0.53 + 0.39 * random.next() ** 0.8
    const u = random.between(0.07, 0.84)
    const near = (v - 0.5) / 0.42
    const length = random.between(0.03, 0.11) * (0.6 + near)
    const bend = random.between(-0.006, 0.006)
    brushStroke(canvas, {
      through: [
        [u, v],
        [u + length / 2, v + bend],
        [Math.min(u + length, 0.945), v + bend * 0.4],
      ],
      width: 0.003 + 0.009 * near * random.next(),
      taper: 0.9,
      paint: {
        'red earth': random.between(0.2, 0.5),
        'shadow grey': random.between(0.1, 0.45),
        'deep blue': random.between(0, 0.25),
      },
      dry: random.between(0.35, 0.95),
      masked: true,
    })
  }
}

function channel(canvas: Canvas): void {
  const [a, b] = canvas.noises
  layWash(canvas, {
    outline: [
      [0.4, 0.5],
      [0.46, 0.5],
      [0.475, 0.517],
      [0.44, 0.54],
      [0.47, 0.562],
      [0.56, 0.585],
      [0.59, 0.615],
      [0.52, 0.65],
      [0.43, 0.69],
      [0.42, 0.735],
      [0.5, 0.79],
      [0.56, 0.86],
      [0.53, 0.936],
      [0.38, 0.935],
      [0.4, 0.87],
      [0.37, 0.8],
      [0.3, 0.735],
      [0.32, 0.68],
      [0.42, 0.63],
      [0.47, 0.605],
      [0.43, 0.585],
      [0.36, 0.56],
      [0.35, 0.53],
    ],
    rounded: true,
    wanderMm: 0.6,
    frayMm: 0.08,
    pool: 1.1,
    poolMm: 0.5,
    softMm: 1,
    lost: 0.15,
    mix(u, v, mix) {
      const near = Math.min(Math.max((v - 0.5) / 0.42, 0), 1)
      mix['sky blue'] = 0.16 + 0.16 * near + 0.1 * a(u * 4, v * 14)
      mix['deep blue'] = 0.22 + 0.2 * near + 0.12 * b(u * 4, v * 10)
      mix['shadow grey'] = 0.05 + 0.06 * near
    },
  })
  const ripples: [number, number, number][] = [
    [0.44, 0.575, 0.05],
    [0.5, 0.602, 0.05],
    [0.42, 0.66, 0.07],
    [0.37, 0.71, 0.07],
    [0.39, 0.76, 0.08],
    [0.43, 0.81, 0.08],
    [0.44, 0.865, 0.09],
    [0.42, 0.905, 0.1],
  ]
  for (const [u, v, length] of ripples) {
    brushStroke(canvas, {
      through: [
        [u, v],
        [u + length * 0.4, v + 0.003],
        [u + length, v - 0.001],
      ],
      width: 0.004 + 0.01 * (v - 0.55),
      taper: 0.9,
      paint: { 'deep blue': 0.45, 'shadow grey': 0.18 },
      dry: 0.25,
      measured: true,
    })
  }
}
