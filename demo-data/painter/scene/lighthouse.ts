import { brushStroke } from '../brushStroke.js'
import type { Canvas } from '../Canvas.js'
import { layWash, type Mix } from '../layWash.js'
import { places } from '../places.js'

/** The lighthouse: paper with a shadow side, red band and lantern. */
export function lighthouse(canvas: Canvas): void {
  layWash(canvas, {
    outline: places('0.6475 0.388, 0.648 0.27, 0.6565 0.27, 0.661 0.39'),
    wanderMm: 0.15,
    masked: false,
    pool: 0.5,
    softMm: 0.7,
    lost: 0.35,
    mix(_u, v, mix) {
      mix['deep blue'] = 0.16
      mix['shadow grey'] = 0.1 + 0.2 * Math.max(v - 0.3, 0)
      mix['yellow earth'] = 0.06
    },
  })
  const red: Partial<Mix> = { red: 0.75, 'red earth': 0.15 }
  layWash(canvas, {
    outline: places('0.634 0.329, 0.6352 0.303, 0.6594 0.303, 0.6603 0.329'),
    wanderMm: 0.1,
    masked: false,
    pool: 0.7,
    mix(u, _v, mix) {
      Object.assign(mix, red)
      if (u > 0.648) mix['deep blue'] = 0.25
    },
  })
  layWash(canvas, {
    outline: places(`
  0.6395 0.262, 0.6395 0.243, 0.643 0.234, 0.6475 0.229, 0.651 0.234, 0.6548 0.243,
  0.6548 0.262
`),
    wanderMm: 0.1,
    masked: false,
    pool: 0.7,
    mix(_u, v, mix) {
      if (v < 0.2445) Object.assign(mix, red)
      else mix['shadow grey'] = 0.5
    },
  })
  brushStroke(canvas, {
    through: [
      [0.6335, 0.2655],
      [0.6605, 0.2655],
    ],
    width: 0.005,
    leastMm: 0.3,
    paint: { 'shadow grey': 0.9, 'deep blue': 0.4 },
    taper: 0.1,
  })
  brushStroke(canvas, {
    through: [
      [0.642, 0.36],
      [0.642, 0.371],
    ],
    width: 0.006,
    paint: { 'shadow grey': 0.8 },
    taper: 0.1,
  })
  brushStroke(canvas, {
    through: [
      [0.6472, 0.229],
      [0.6472, 0.217],
    ],
    width: 0.001,
    leastMm: 0.2,
    paint: { 'shadow grey': 0.9 },
  })
}
