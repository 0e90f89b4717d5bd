import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash, type Mix } from '../layWash.js'
import { maskPaper } from '../maskPaper.js'
import { places } from '../places.js'
import { dinghy, maskDinghy } from './dinghy.js'
import { paneOf } from './paneOf.js'

/** A boat aground: its place and size, leaning by an angle. */
interface Boat {
  u: number
  v: number
  /** Length as a share of the picture's height. */
  size: number
  leanDeg: number
  hull: Partial<Mix>
  band: Partial<Mix>
}

const BOATS: Boat[] = [
  {
    u: 0.235,
    v: 0.655,
    size: 0.3,
    leanDeg: 9,
    hull: { 'deep blue': 1.15, 'shadow grey': 0.3 },
    band: { red: 0.85, 'red earth': 0.45 },
  },
  {
    u: 0.765,
    v: 0.69,
    size: 0.24,
    leanDeg: -8,
    hull: { red: 0.7, 'red earth': 0.5 },
    band: { 'sky blue': 0.8, 'deep blue': 0.5 },
  },
  {
    u: 0.515,
    v: 0.527,
    size: 0.09,
    leanDeg: 5,
    hull: { 'shadow grey': 0.6, 'red earth': 0.3 },
    band: { 'yellow earth': 0.8 },
  },
]

/** From a boat's own measures (x along, y up, in lengths) to the picture. */
function placer({ width, height }: Canvas, { u, v, size, leanDeg }: Boat): (x: number, y: number) => Place {
  const c = Math.cos((leanDeg * Math.PI) / 180)
  const s = Math.sin((leanDeg * Math.PI) / 180)
  return (x, y) => [u + ((c * x + s * y) * size * height) / width, v + (s * x - c * y) * size]
}

const SHEER = places('-0.52 0.235, -0.35 0.17, -0.1 0.135, 0.15 0.14, 0.36 0.175, 0.5 0.21')
const KEEL = places('0.475 0.1, 0.42 0.0, 0.25 -0.045, 0 -0.06, -0.25 -0.045, -0.4 0.02, -0.47 0.12')

/** Paper kept free for the light upper strake and the cabin. */
export function maskBoats(canvas: Canvas): void {
  for (const boat of BOATS) {
    const at = placer(canvas, boat)
    maskPaper(
      canvas,
      [...SHEER, ...KEEL].map(([x, y]) => at(x, y)),
    )
    maskPaper(canvas, [at(0.05, 0.14), at(0.05, 0.27), at(0.3, 0.275), at(0.32, 0.16)])
  }
  maskDinghy(canvas)
}

/** The boats: shadow on the mud, hull, band, cabin, mast and furled sail. */
export function boats(canvas: Canvas): void {
  for (const boat of [BOATS[2], BOATS[0], BOATS[1]]) paintBoat(canvas, boat)
  dinghy(canvas)
}

function paintBoat(canvas: Canvas, boat: Boat): void {
  const [a, b] = canvas.noises
  const at = placer(canvas, boat)
  shadow(canvas, boat, at)
  const under: Place[] = [
    at(-0.5, 0.17),
    at(-0.33, 0.105),
    at(-0.1, 0.07),
    at(0.15, 0.075),
    at(0.35, 0.11),
    at(0.485, 0.145),
  ]
  layWash(canvas, {
    outline: [...under, ...KEEL.map(([x, y]) => at(x, y))],
    wanderMm: 0.2,
    masked: false,
    pool: 0.55,
    poolMm: 0.6,
    softMm: 0.8,
    lost: 0.2,
    mix(u, v, mix) {
      const k = 0.75 + 0.35 * a(u * 14, v * 20) + (0.2 * (u - boat.u)) / 0.1
      for (const [name, amount] of Object.entries(boat.hull))
        mix[name as keyof Mix] = amount * Math.max(k, 0.35)
    },
  })
  const low: Place[] = [at(-0.44, 0.06), at(-0.25, 0.0), at(0, -0.015), at(0.25, -0.005), at(0.44, 0.05)]
  layWash(canvas, {
    outline: [...low, ...KEEL.slice(1, 6).map(([x, y]) => at(x, y))],
    wanderMm: 0.25,
    masked: false,
    pool: 0.5,
    mix(u, v, mix) {
      for (const [name, amount] of Object.entries(boat.band))
        mix[name as keyof Mix] = amount * (0.8 + 0.3 * b(u * 20, v * 20))
      mix['shadow grey'] = 0.25
    },
  })
  // Light shadow on the strake under the rail, inside the sheer.
  layWash(canvas, {
    outline: [
      at(-0.05, 0.135),
      at(0.15, 0.14),
      at(0.36, 0.175),
      at(0.5, 0.21),
      at(0.485, 0.15),
      at(0.35, 0.115),
      at(0.1, 0.08),
    ],
    wanderMm: 0.2,
    masked: false,
    pool: 0.4,
    softMm: 1.2,
    lost: 0.5,
    mix(_u, _v, mix) {
      mix['deep blue'] = 0.13
      mix['shadow grey'] = 0.08
    },
  })
  const line = { leastMm: 0.25, paint: { 'shadow grey': 0.85, 'red earth': 0.4 } }
  brushStroke(canvas, {
    ...line,
    width: 0.012 * boat.size,
    through: SHEER.map(([x, y]) => at(x, y)),
    taper: 0.6,
  })
  cabin(canvas, at)
  rig(canvas, boat, at)
}

function shadow(canvas: Canvas, boat: Boat, at: (x: number, y: number) => Place): void {
  const [a] = canvas.noises
  const { size } = boat
  layWash(canvas, {
    outline: [
      at(-0.46, 0.0),
      at(0.45, -0.03),
      at(0.66, -0.08),
      at(0.5, -0.14),
      at(0.1, -0.13),
      at(-0.3, -0.11),
    ],
    rounded: true,
    wanderMm: 0.8,
    wanderLengthMm: 3,
    frayMm: 0.12,
    pool: 0.45,
    softMm: 6 * size,
    lost: 0.45,
    mix(u, v, mix) {
      mix['shadow grey'] = 0.42 + 0.15 * a(u * 12, v * 30)
      mix['deep blue'] = 0.42
      mix['red earth'] = 0.25
    },
  })
}

function cabin(canvas: Canvas, at: (x: number, y: number) => Place): void {
  const side = { wanderMm: 0.12, masked: false, pool: 0.6 }
  layWash(canvas, {
    ...side,
    outline: [at(0.2, 0.15), at(0.2, 0.268), at(0.3, 0.275), at(0.318, 0.165)],
    mix(_u, _v, mix) {
      mix['deep blue'] = 0.24
      mix['shadow grey'] = 0.16
    },
  })
  layWash(canvas, {
    ...side,
    outline: [at(0.035, 0.268), at(0.05, 0.29), at(0.305, 0.295), at(0.325, 0.272)],
    mix(_u, _v, mix) {
      mix['yellow earth'] = 0.5
      mix['red earth'] = 0.55
    },
  })
  for (const x of [0.085, 0.145]) {
    paneOf(
      canvas,
      [at(x - 0.022, 0.2), at(x - 0.022, 0.242), at(x + 0.022, 0.244), at(x + 0.022, 0.202)],
      0.85,
    )
  }
}

function rig(canvas: Canvas, { size }: Boat, at: (x: number, y: number) => Place): void {
  const wood = { 'red earth': 0.75, 'yellow earth': 0.4, 'shadow grey': 0.45 }
  const measured = size > 0.2
  brushStroke(canvas, {
    through: [at(-0.04, 0.13), at(-0.036, 0.6), at(-0.03, 1.12)],
    width: 0.022 * size,
    leastMm: 0.35,
    taper: 0.5,
    paint: wood,
    measured,
    fade: 0.9,
  })
  brushStroke(canvas, {
    through: [at(-0.04, 0.33), at(0.46, 0.37)],
    width: 0.016 * size,
    leastMm: 0.3,
    paint: wood,
  })
  const [a] = canvas.noises
  layWash(canvas, {
    outline: [
      at(-0.03, 0.34),
      at(0.05, 0.4),
      at(0.16, 0.395),
      at(0.28, 0.41),
      at(0.4, 0.395),
      at(0.47, 0.375),
      at(0.3, 0.36),
      at(0.1, 0.345),
    ],
    rounded: true,
    wanderMm: 0.3,
    wanderLengthMm: 2,
    masked: false,
    pool: 0.8,
    softMm: 0.8,
    lost: 0.2,
    mix(u, v, mix) {
      mix['red earth'] = 0.5 + 0.3 * a(u * 30, v * 40)
      mix['yellow earth'] = 0.45
    },
  })
  const rope = {
    width: 0.001,
    leastMm: 0.2,
    taper: 0.3,
    pool: 0,
    paint: { 'shadow grey': 0.62, 'red earth': 0.2 },
  }
  brushStroke(canvas, { ...rope, through: [at(-0.032, 1.05), at(-0.5, 0.235)] })
  brushStroke(canvas, { ...rope, through: [at(-0.032, 1.05), at(0.49, 0.21)] })
  brushStroke(canvas, { ...rope, through: [at(-0.034, 0.86), at(-0.2, 0.15)] })
  brushStroke(canvas, { ...rope, through: [at(-0.032, 1.0), at(0.45, 0.375)] })
  brushStroke(canvas, {
    width: 0.05 * size,
    taper: 0.8,
    paint: { red: 0.9 },
    through: [at(-0.03, 1.1), at(0.03, 1.085), at(0.1, 1.095)],
  })
}
