import type { Source } from '../../../src/raster/Source.js'
import { emptyTile } from '../../../src/raster/Tile.js'
import { tileSource } from '../../helpers/readContext.js'

/** A painted sheet without end, known at every point between pixels. */
export interface Field {
  /** Light in the three channels at a point of the sheet. */
  at(x: number, y: number): [number, number, number]
  /** Slope of the paper's surface, in x and y. */
  slope(x: number, y: number): [number, number]
}

/** How one capture sees a field. */
export interface FieldCapture {
  width: number
  height: number
  /** Where the upright capture's middle lies on the sheet, and its rotation. */
  x: number
  y: number
  rotationDeg: number
  turned?: 0 | 90 | 180 | 270
  gain?: [number, number, number]
  /** Strength of relief under a lamp from the capture's top; 0 is none. */
  relief?: number
  noise?: number
  /** Loss of light at the corners, 0..1. */
  falloff?: number
  seed?: number
}

const mix = (seed: number, x: number, y: number) => {
  let h = Math.imul(x, 374761393) ^ Math.imul(y, 668265263) ^ Math.imul(seed, 2147483647)
  h = Math.imul(h ^ (h >>> 13), 1274126177)
  h = Math.imul(h ^ (h >>> 15), 2246822519)
  return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32
}

/** Smooth noise on a lattice, 0..1, continuous in its second derivative. */
function noise(seed: number, x: number, y: number): number {
  const [x0, y0] = [Math.floor(x), Math.floor(y)]
  const ease = (t: number) => t * t * t * (t * (6 * t - 15) + 10)
  const [u, v] = [ease(x - x0), ease(y - y0)]
  const upper = mix(seed, x0, y0) * (1 - u) + mix(seed, x0 + 1, y0) * u
  const lower = mix(seed, x0, y0 + 1) * (1 - u) + mix(seed, x0 + 1, y0 + 1) * u
  return upper * (1 - v) + lower * v
}

/** Washes with soft and hard edges over blank paper, pencil-thin ridges, and paper grain of a few pixels. */
export function paintedField(seed: number, blankShare = 0.3): Field {
  const ink = (k: number, x: number, y: number, sizePx: number) =>
    noise(seed * 31 + k, x / sizePx, y / sizePx)
  return {
    at(x, y) {
      const wash = ink(0, x, y, 160) * 0.6 + ink(1, x, y, 60) * 0.3 + ink(2, x, y, 22) * 0.1
      const paint = 1 / (1 + Math.exp(-(wash - 0.3 - 0.4 * blankShare) * 60))
      const density = paint * (0.25 + 0.5 * ink(3, x, y, 45) + 0.25 * ink(4, x, y, 9))
      const hue = ink(5, x, y, 120)
      const ridge = Math.abs(ink(6, x, y, 110) - 0.5) * 110
      const line = 0.5 * Math.exp(-ridge * ridge) * (ink(7, x, y, 80) > 0.4 ? 1 : 0)
      const d = density + line
      return [
        0.88 * Math.exp(-(d * (0.4 + 1.6 * hue))),
        0.86 * Math.exp(-d),
        0.8 * Math.exp(-(d * (0.4 + 1.6 * (1 - hue)))),
      ]
    },
    slope: (x, y) => [
      noise(seed * 31 + 8, x / 5, y / 5) - 0.5 + noise(seed * 31 + 10, x / 2.5, y / 2.5) - 0.5,
      noise(seed * 31 + 9, x / 5, y / 5) - 0.5 + noise(seed * 31 + 11, x / 2.5, y / 2.5) - 0.5,
    ],
  }
}

/** A seeded generator of numbers 0..1. */
export function random(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

/** From upright capture pixels to the sheet: where the truth says each pixel's centre lies. */
export function truth(
  { width, height, x, y, rotationDeg }: FieldCapture,
  u: number,
  v: number,
): [number, number] {
  const angle = (rotationDeg * Math.PI) / 180
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  const [dx, dy] = [u - (width - 1) / 2, v - (height - 1) / 2]
  return [c * dx - s * dy + x, s * dx + c * dy + y]
}

/** From the capture's pixels on disk to the sheet. */
export function truthMatrix(request: FieldCapture): [number, number, number, number, number, number] {
  const { width, height, turned = 0 } = request
  const upright = (px: number, py: number): [number, number] =>
    turned === 90
      ? [py, height - 1 - px]
      : turned === 180
        ? [width - 1 - px, height - 1 - py]
        : turned === 270
          ? [width - 1 - py, px]
          : [px, py]
  const [origin, right, below] = [upright(0, 0), upright(1, 0), upright(0, 1)].map((p) =>
    truth(request, ...p),
  )
  return [
    ...[right[0] - origin[0], below[0] - origin[0], origin[0]],
    ...[right[1] - origin[1], below[1] - origin[1], origin[1]],
  ] as ReturnType<typeof truthMatrix>
}

/** The capture as it lies on disk: `width` x `height` upright, turned clockwise by `turned`. */
export function captureField(field: Field, request: FieldCapture): Source {
  const { width, height, turned = 0, gain = [1, 1, 1], relief = 0, noise: sigma = 0, falloff = 0 } = request
  const sideways = turned % 180 !== 0
  const tile = emptyTile({ x: 0, y: 0, width: sideways ? height : width, height: sideways ? width : height })
  const next = random(request.seed ?? 1)
  const angle = (request.rotationDeg * Math.PI) / 180
  // The lamp stands at the top of the capture as it lies on the glass.
  const lamp = angle - (turned * Math.PI) / 180 - Math.PI / 2
  const [lampX, lampY] = [Math.cos(lamp), Math.sin(lamp)]
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) {
      const [x, y] = truth(request, u, v)
      const rgb = field.at(x, y)
      const [sx, sy] = relief ? field.slope(x, y) : [0, 0]
      const shade = relief ? 1 + relief * (sx * lampX + sy * lampY) : 1
      const edge = ((2 * u) / width - 1) ** 2 + ((2 * v) / height - 1) ** 2
      const light = shade * (1 - (falloff * edge) / 2)
      const [px, py] =
        turned === 90
          ? [height - 1 - v, u]
          : turned === 180
            ? [width - 1 - u, height - 1 - v]
            : turned === 270
              ? [v, width - 1 - u]
              : [u, v]
      const at = py * tile.rect.width + px
      for (let c = 0; c < 3; c++) {
        const grain = sigma ? sigma * (next() + next() + next() + next() - 2) * Math.sqrt(3) : 0
        tile.planes[c][at] = rgb[c] * light * gain[c] + grain
      }
    }
  }
  return tileSource(tile)
}
