import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { maskPaper } from '../maskPaper.js'
import { places } from '../places.js'

/** The tide channel's banks, from the sea to the foreground on the left and back on the right. */
const LEFT_BANK: Place[] = places(`
  0.395 0.496, 0.402 0.511, 0.447 0.526, 0.455 0.539, 0.405 0.555, 0.362 0.571,
  0.388 0.591, 0.462 0.609, 0.482 0.632, 0.43 0.662, 0.335 0.697, 0.272 0.742, 0.285 0.8,
  0.325 0.862, 0.312 0.945
`)
const RIGHT_BANK: Place[] = places(`
  0.575 0.945, 0.556 0.872, 0.487 0.812, 0.437 0.762, 0.452 0.716, 0.54 0.677, 0.602 0.642,
  0.585 0.612, 0.505 0.592, 0.447 0.576, 0.472 0.56, 0.532 0.545, 0.54 0.53, 0.492 0.514,
  0.462 0.496
`)

/** Masking fluid on the channel and on the wet shine of the mud. */
export function maskFlats(canvas: Canvas): void {
  maskPaper(canvas, [...LEFT_BANK, ...RIGHT_BANK], true, 0.25)
  const slivers: [number, number, number, number][] = [
    [0.13, 0.6, 0.11, 0.006],
    [0.19, 0.612, 0.05, 0.0035],
    [0.65, 0.562, 0.07, 0.0035],
    [0.655, 0.706, 0.12, 0.007],
    [0.61, 0.722, 0.05, 0.004],
    [0.2, 0.83, 0.09, 0.006],
    [0.7, 0.742, 0.05, 0.003],
    [0.14, 0.69, 0.06, 0.004],
  ]
  for (const [u, v, length, thick] of slivers) {
    const outline: Place[] = [
      [u - length / 2, v],
      [u - length * 0.2, v - thick * 0.6],
      [u + length * 0.25, v - thick * 0.4],
      [u + length / 2, v + thick * 0.2],
      [u + length * 0.1, v + thick * 0.6],
      [u - length * 0.3, v + thick * 0.5],
    ]
    maskPaper(canvas, outline, true, 0.5)
  }
}

/** Mud flats with a tide channel that winds to the sea. */
export function flats(canvas: Canvas): void {
  const [a, b, c] = canvas.noises
  const { random } = canvas
  layWash(canvas, {
    outline: places(`
  0.047 0.503, 0.14 0.512, 0.25 0.506, 0.36 0.499, 0.5 0.497, 0.61 0.512, 0.7 0.54,
  0.8 0.565, 0.9 0.592, 0.955 0.606, 0.951 0.72, 0.957 0.85, 0.945 0.925, 0.82 0.938,
  0.66 0.93, 0.5 0.942, 0.34 0.932, 0.18 0.94, 0.06 0.93, 0.05 0.8, 0.043 0.65
`),
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
    places('0.05 0.56, 0.13 0.548, 0.24 0.553, 0.31 0.568, 0.26 0.58, 0.16 0.578, 0.07 0.588'),
    places('0.62 0.6, 0.73 0.592, 0.86 0.618, 0.95 0.64, 0.95 0.68, 0.85 0.662, 0.72 0.63, 0.65 0.618'),
    places('0.05 0.735, 0.14 0.715, 0.25 0.728, 0.34 0.76, 0.31 0.79, 0.2 0.775, 0.1 0.79, 0.05 0.78'),
    places('0.6 0.79, 0.7 0.765, 0.82 0.77, 0.93 0.745, 0.95 0.8, 0.86 0.83, 0.74 0.82, 0.65 0.835'),
    places(`
  0.06 0.86, 0.2 0.842, 0.36 0.862, 0.5 0.87, 0.62 0.9, 0.5 0.925, 0.3 0.92, 0.14 0.928,
  0.06 0.915
`),
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
  const [a, b, c] = canvas.noises
  const { random } = canvas
  const near = (v: number) => Math.min(Math.max((v - 0.5) / 0.42, 0), 1)
  layWash(canvas, {
    outline: [...LEFT_BANK, ...RIGHT_BANK],
    rounded: true,
    masked: false,
    wanderMm: 0.35,
    frayMm: 0.08,
    pool: 1.6,
    poolMm: 0.45,
    softMm: 0.8,
    lost: 0.12,
    mix(u, v, mix) {
      // The sky in it, light along the middle, and streaks of shine across.
      const shine = Math.max(a(u * 4, v * 34) - 0.1, 0) + 0.5 * Math.max(b(u * 7 + 3, v * 60), 0)
      const keep = Math.max(1 - 1.5 * shine, 0.06)
      mix['sky blue'] = (0.15 + 0.17 * near(v)) * keep
      mix['deep blue'] = (0.13 + 0.34 * near(v) + 0.08 * b(u * 3, v * 8)) * keep
      mix['shadow grey'] = Math.max(0.02 + 0.07 * c(u * 5, v * 12), 0) * keep
      mix['yellow earth'] = 0.05 * near(v)
    },
  })
  const ripples: [number, number, number][] = [
    [0.42, 0.563, 0.05],
    [0.5, 0.618, 0.06],
    [0.47, 0.655, 0.07],
    [0.36, 0.705, 0.07],
    [0.33, 0.755, 0.08],
    [0.36, 0.81, 0.09],
    [0.39, 0.865, 0.1],
    [0.37, 0.905, 0.12],
  ]
  for (const [u, v, length] of ripples) {
    const across: Place[] = [
      [u, v],
      [u + length * 0.4, v + 0.003],
      [u + length, v - 0.001],
    ]
    const width = 0.004 + 0.012 * (v - 0.55)
    brushStroke(canvas, {
      through: across,
      width,
      taper: 0.9,
      paint: { 'deep blue': 0.42, 'shadow grey': 0.16 },
      dry: 0.2,
      measured: true,
    })
    const second = across.map(([x, y]): Place => [x + length * 0.25, y + 0.012 + random.between(0, 0.006)])
    brushStroke(canvas, {
      through: second,
      width: width * 0.6,
      taper: 0.9,
      paint: { 'deep blue': 0.3, 'sky blue': 0.2 },
      dry: 0.5,
    })
  }
}
