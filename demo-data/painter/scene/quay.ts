import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { maskPaper } from '../maskPaper.js'
import { places } from '../places.js'
import { lighthouse } from './lighthouse.js'
import { paneOf } from './paneOf.js'

/** Paper kept free before the first wash: the light on walls, the lighthouse. */
export function maskQuay(canvas: Canvas): void {
  maskPaper(canvas, places('0.632 0.392, 0.637 0.268, 0.657 0.268, 0.662 0.392'))
  maskPaper(canvas, places('0.737 0.378, 0.737 0.318, 0.789 0.318, 0.789 0.375'))
  maskPaper(canvas, places('0.826 0.372, 0.827 0.292, 0.882 0.292, 0.883 0.37'))
}

/** The harbour wall with its lighthouse and houses. */
export function quay(canvas: Canvas): void {
  const [a, b, c] = canvas.noises
  layWash(canvas, {
    outline: places(`
  0.6 0.39, 0.7 0.381, 0.83 0.372, 0.953 0.363, 0.957 0.47, 0.952 0.598, 0.86 0.575,
  0.74 0.545, 0.65 0.522, 0.604 0.508
`),
    wanderMm: 0.3,
    wanderLengthMm: 5,
    frayMm: 0.07,
    pool: 0.75,
    mix(u, v, mix) {
      const low = Math.min(Math.max((v - 0.38) / 0.16, 0), 1)
      mix['yellow earth'] = 0.32 + 0.14 * a(u * 8, v * 8) - 0.1 * low
      mix['red earth'] = 0.14 + 0.12 * b(u * 7, v * 9)
      mix['shadow grey'] = 0.12 + 0.2 * low + 0.06 * c(u * 12, v * 14)
      mix['deep blue'] = 0.05 + 0.18 * low
    },
  })
  // The side in shadow, glazed over when dry, with a hard slanting edge; weed below the tide's mark.
  layWash(canvas, {
    outline: places(`
  0.602 0.4, 0.7 0.396, 0.845 0.392, 0.954 0.386, 0.954 0.598, 0.86 0.574, 0.74 0.546,
  0.65 0.522, 0.604 0.508
`),
    wanderMm: 0.35,
    pool: 0.55,
    softMm: 1.4,
    lost: 0.25,
    mix(u, v, mix) {
      mix['deep blue'] = 0.22 + 0.08 * b(u * 6, v * 10)
      mix['shadow grey'] = 0.17
      mix['red earth'] = 0.05 + 0.1 * Math.max(a(u * 9, v * 9), 0)
    },
  })
  layWash(canvas, {
    outline: places(`
  0.603 0.47, 0.68 0.484, 0.76 0.492, 0.85 0.515, 0.954 0.53, 0.954 0.6, 0.86 0.577,
  0.74 0.547, 0.65 0.524, 0.604 0.51
`),
    wanderMm: 0.9,
    wanderLengthMm: 2.5,
    frayMm: 0.12,
    pool: 0.6,
    mix(u, v, mix) {
      mix['yellow earth'] = 0.42
      mix['deep blue'] = 0.32 + 0.2 * a(u * 16, v * 10)
      mix['shadow grey'] = 0.22
    },
  })
  stones(canvas)
  lighthouse(canvas)
  house(canvas, 0.737, 0.789, 0.318, 0.376, 0.284)
  house(canvas, 0.827, 0.882, 0.292, 0.371, 0.252)
}

function stones(canvas: Canvas): void {
  const { random } = canvas
  for (let row = 0; row < 6; row++) {
    for (let u = 0.612; u < 0.94; u += random.between(0.02, 0.05)) {
      if (random.next() < 0.4) continue
      const far = (u - 0.6) / 0.35
      const top = 0.396 - 0.012 * far
      const bottom = 0.505 + 0.085 * far
      const v = top + ((bottom - top) * (row + 0.6 + random.between(-0.1, 0.1))) / 6.4
      const length = random.between(0.008, 0.022) * (0.6 + far)
      const slope = ((bottom - 0.505 - (0.396 - top) * 0) / 0.35) * 0.06
      brushStroke(canvas, {
        through: [
          [u, v],
          [u + length * 0.5, v + slope * 0.01 + 0.0008],
          [u + length, v + slope * 0.02],
        ],
        width: 0.0022 + 0.0025 * far,
        leastMm: 0.2,
        paint: { 'shadow grey': random.between(0.2, 0.5), 'red earth': 0.18, 'deep blue': 0.16 },
        dry: random.between(0.1, 0.75),
      })
    }
  }
  for (const [u, depth] of [
    [0.662, 0.09],
    [0.772, 0.12],
    [0.905, 0.15],
  ]) {
    const v = 0.394 - 0.012 * ((u - 0.6) / 0.35)
    brushStroke(canvas, {
      through: [
        [u, v],
        [u + 0.001, v + depth],
      ],
      width: 0.008,
      paint: { 'shadow grey': 0.7, 'deep blue': 0.4, 'red earth': 0.2 },
      dry: 0.3,
      taper: 0.2,
    })
  }
}

function house(canvas: Canvas, u0: number, u1: number, eaves: number, ground: number, ridge: number): void {
  const [a] = canvas.noises
  const w = u1 - u0
  const roof: Place[] = [
    [u0 - 0.004, eaves + 0.003],
    [u0 + w * 0.16, ridge],
    [u1 - w * 0.1, ridge - 0.003],
    [u1 + 0.004, eaves + 0.001],
  ]
  layWash(canvas, {
    outline: roof,
    wanderMm: 0.25,
    masked: false,
    pool: 0.6,
    mix(u, v, mix) {
      mix.red = 0.34 + 0.2 * a(u * 30, v * 30)
      mix['red earth'] = 0.5
      mix['yellow earth'] = 0.2
    },
  })
  layWash(canvas, {
    outline: [
      [u0 + w * 0.58, eaves + 0.004],
      [u1 - 0.0005, eaves + 0.003],
      [u1 - 0.0005, ground],
      [u0 + w * 0.6, ground],
    ],
    wanderMm: 0.2,
    masked: false,
    pool: 0.5,
    mix(_u, _v, mix) {
      mix['deep blue'] = 0.2
      mix['shadow grey'] = 0.1
      mix.red = 0.03
    },
  })
  layWash(canvas, {
    outline: [
      [u0, eaves + 0.002],
      [u1, eaves + 0.001],
      [u1, eaves + 0.007],
      [u0, eaves + 0.008],
    ],
    wanderMm: 0.15,
    masked: false,
    pool: 0.3,
    mix(_u, _v, mix) {
      mix['deep blue'] = 0.4
      mix['shadow grey'] = 0.3
    },
  })
  for (const part of [0.2, 0.43, 0.76]) {
    const [u, v] = [u0 + w * part, eaves + 0.014]
    paneOf(canvas, [
      [u - 0.0035, v],
      [u + 0.0035, v],
      [u + 0.0035, v + 0.019],
      [u - 0.0035, v + 0.019],
    ])
  }
  const chimney = u0 + w * 0.3
  brushStroke(canvas, {
    through: [
      [chimney, ridge - 0.018],
      [chimney, ridge + 0.004],
    ],
    width: 0.011,
    taper: 0,
    paint: { 'red earth': 0.7, 'shadow grey': 0.3 },
  })
}
