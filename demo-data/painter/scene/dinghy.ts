import { brushStroke } from '../brushStroke.js'
import type { Canvas } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { maskPaper } from '../maskPaper.js'
import { places } from '../places.js'

const HULL = places(`
  0.545 0.798, 0.575 0.812, 0.63 0.815, 0.675 0.803, 0.69 0.792, 0.68 0.838, 0.65 0.856,
  0.595 0.857, 0.56 0.842
`)

/** Paper kept free for the dinghy. */
export function maskDinghy(canvas: Canvas): void {
  maskPaper(canvas, HULL, true)
}

/** A dinghy on the mud in the foreground, an oar across it. */
export function dinghy(canvas: Canvas): void {
  const [a] = canvas.noises
  layWash(canvas, {
    outline: places(`
  0.55 0.846, 0.6 0.852, 0.66 0.85, 0.7 0.848, 0.735 0.862, 0.69 0.874, 0.61 0.872,
  0.56 0.864
`),
    rounded: true,
    wanderMm: 0.8,
    wanderLengthMm: 3,
    pool: 0.4,
    softMm: 1.8,
    lost: 0.4,
    mix(_u, _v, mix) {
      mix['shadow grey'] = 0.45
      mix['deep blue'] = 0.4
      mix['red earth'] = 0.3
    },
  })
  layWash(canvas, {
    outline: places(`
  0.549 0.805, 0.576 0.82, 0.63 0.8235, 0.674 0.812, 0.688 0.802, 0.68 0.838, 0.65 0.856,
  0.595 0.857, 0.56 0.842
`),
    rounded: true,
    wanderMm: 0.25,
    masked: false,
    pool: 0.7,
    mix(u, v, mix) {
      mix['yellow earth'] = 0.75 + 0.3 * a(u * 18, v * 30)
      mix['sky blue'] = 0.5
      mix['deep blue'] = 0.12 + Math.max(u - 0.61, 0) * 3
    },
  })
  layWash(canvas, {
    outline: places('0.556 0.799, 0.58 0.789, 0.64 0.786, 0.684 0.793, 0.668 0.8, 0.63 0.811, 0.578 0.808'),
    rounded: true,
    wanderMm: 0.2,
    masked: false,
    pool: 0.6,
    mix(_u, v, mix) {
      mix['red earth'] = 0.5
      mix['shadow grey'] = 0.3 + (v - 0.786) * 12
    },
  })
  brushStroke(canvas, {
    through: [
      [0.565, 0.782],
      [0.62, 0.8],
      [0.71, 0.829],
    ],
    width: 0.004,
    leastMm: 0.3,
    paint: { 'red earth': 0.55, 'yellow earth': 0.4 },
    taper: 0.3,
  })
}
