import { brushStroke } from '../brushStroke.js'
import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'
import { places } from '../places.js'

/** Posts, mooring lines, two walkers, weed and spatter: the last, darkest touches. */
export function foreground(canvas: Canvas): void {
  const dark = { 'shadow grey': 0.95, 'red earth': 0.5, 'deep blue': 0.35 }
  const posts: [number, number, number][] = [
    [0.088, 0.62, 0.1],
    [0.128, 0.612, 0.085],
    [0.905, 0.69, 0.13],
    [0.862, 0.735, 0.15],
    [0.935, 0.665, 0.1],
  ]
  for (const [u, v, tall] of posts) {
    brushStroke(canvas, {
      through: [
        [u, v - tall],
        [u + 0.001, v - tall / 2],
        [u - 0.001, v],
      ],
      width: 0.011,
      leastMm: 0.4,
      taper: 0.15,
      paint: dark,
      dry: 0.22,
      measured: true,
    })
    brushStroke(canvas, {
      through: [
        [u, v + 0.002],
        [u + 0.03, v + 0.01],
        [u + 0.055, v + 0.012],
      ],
      width: 0.008,
      taper: 0.9,
      paint: { 'shadow grey': 0.4, 'deep blue': 0.3 },
      dry: 0.35,
    })
  }
  const rope = {
    width: 0.001,
    leastMm: 0.22,
    taper: 0.1,
    pool: 0,
    paint: { 'shadow grey': 0.7, 'red earth': 0.3 },
  }
  brushStroke(canvas, {
    ...rope,
    through: [
      [0.128, 0.535],
      [0.145, 0.585],
      [0.168, 0.605],
    ],
  })
  brushStroke(canvas, {
    ...rope,
    through: [
      [0.862, 0.6],
      [0.852, 0.645],
      [0.838, 0.66],
    ],
  })
  brushStroke(canvas, {
    ...rope,
    through: places('0.55 0.812, 0.51 0.84, 0.46 0.842, 0.41 0.852'),
  })
  walker(canvas, 0.335, 0.588, { red: 0.8, 'red earth': 0.2 })
  walker(canvas, 0.348, 0.592, { 'deep blue': 0.9, 'shadow grey': 0.3 })
  weed(canvas)
  spatter(canvas)
}

function walker(canvas: Canvas, u: number, v: number, coat: Record<string, number>): void {
  const paint = { 'shadow grey': 0.9, 'deep blue': 0.4 }
  brushStroke(canvas, {
    through: [
      [u, v - 0.036],
      [u + 0.0006, v - 0.018],
    ],
    width: 0.0125,
    leastMm: 0.5,
    taper: 0.5,
    paint: coat,
  })
  brushStroke(canvas, {
    through: [
      [u - 0.0012, v - 0.019],
      [u - 0.0018, v],
    ],
    width: 0.0048,
    leastMm: 0.25,
    taper: 0.4,
    paint,
  })
  brushStroke(canvas, {
    through: [
      [u + 0.0016, v - 0.019],
      [u + 0.0028, v - 0.001],
    ],
    width: 0.0048,
    leastMm: 0.25,
    taper: 0.4,
    paint,
  })
  brushStroke(canvas, {
    through: [
      [u, v - 0.0445],
      [u + 0.0003, v - 0.0415],
    ],
    width: 0.008,
    leastMm: 0.3,
    taper: 0,
    paint: { 'red earth': 0.7, 'yellow earth': 0.3 },
  })
  brushStroke(canvas, {
    through: [
      [u, v + 0.001],
      [u + 0.018, v + 0.005],
      [u + 0.03, v + 0.006],
    ],
    width: 0.005,
    taper: 0.9,
    paint: { 'shadow grey': 0.35, 'deep blue': 0.3 },
    dry: 0.2,
  })
}

function weed(canvas: Canvas): void {
  const { random } = canvas
  const tufts: Place[] = places('0.1 0.9, 0.16 0.915, 0.24 0.905, 0.79 0.89, 0.86 0.9, 0.9 0.88')
  for (const [u, v] of tufts) {
    for (let i = 0; i < 13; i++) {
      const at = u + random.between(-0.03, 0.03)
      const lean = random.between(-0.014, 0.014)
      const tall = random.between(0.02, 0.055)
      brushStroke(canvas, {
        through: [
          [at, v + random.between(0, 0.012)],
          [at + lean * 0.4, v - tall * 0.6],
          [at + lean, v - tall],
        ],
        width: random.between(0.002, 0.0055),
        leastMm: 0.22,
        taper: 0.95,
        paint: {
          'yellow earth': random.between(0.5, 0.9),
          'deep blue': random.between(0.25, 0.6),
          'shadow grey': random.between(0.15, 0.5),
        },
        dry: random.between(0, 0.6),
      })
    }
  }
}

function spatter(canvas: Canvas): void {
  const { random, width, height } = canvas
  for (let i = 0; i < 46; i++) {
    const u = random.between(0.07, 0.93)
    const v = random.between(0.72, 0.935)
    const r = 0.0012 + 0.0042 * random.next() ** 3
    const around = Array.from({ length: 7 }, (_, k): Place => {
      const angle = (k / 7) * 2 * Math.PI
      const far = r * random.between(0.8, 1.2)
      return [u + (far * Math.cos(angle) * height) / width, v + far * Math.sin(angle)]
    })
    const strength = random.between(0.35, 0.9)
    layWash(canvas, {
      outline: around,
      rounded: true,
      wanderMm: 0.05,
      pool: 0.9,
      poolMm: 0.25,
      mix(_u, _v, mix) {
        mix['red earth'] = 0.5 * strength
        mix['shadow grey'] = 0.4 * strength
      },
    })
  }
}
