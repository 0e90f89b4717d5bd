import { CHART24_COLUMNS, CHART24_ROWS } from '../../../src/colour/charts/chart24.js'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import {
  fitHomography,
  type Homography,
  invertHomography,
  mapPoint,
  type Point,
} from '../../../src/steps/colour/find/homography.js'
import type { Triple } from '../../../src/steps/colour/fit/Fit.js'
import { workingOfLab } from '../../../src/steps/colour/fit/labOfWorking.js'

/** Numbers 0..1 that are the same every time: Mulberry32 (public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

export interface DrawRequest {
  width: number
  height: number
  /** From chart coordinates (patch centres at whole numbers) to pixels. */
  toPicture: Homography
  /** Linear, working space; the 2014 edition by default. */
  colours?: readonly Triple[]
  /** A patch's side as a share of the distance between patches. */
  patchShare?: number
  /** Multiplies every value at a place in the picture. */
  light?: (x: number, y: number) => number
  /** Standard deviation of the noise, share of full scale. */
  noise?: number
  /** What lies around the chart. */
  ground?: (x: number, y: number) => Triple
  /** Changes a patch: covers it, or part of it. `u`, `v` run from -0.5 to 0.5 over the patch. */
  patch?: (index: number, u: number, v: number, colour: Triple) => Triple
  seed?: number
}

export const TRUE_2014: readonly Triple[] = CHART24_2014.labD50.map((lab) => workingOfLab([...lab]))

/** A picture of a chart in a dark frame, each pixel the mean of four samples. */
export function drawChart(request: DrawRequest): Tile {
  const { width, height, toPicture, colours = TRUE_2014, patchShare = 0.86, light, noise = 0 } = request
  const ground = request.ground ?? (() => [0.25, 0.24, 0.22])
  const toChart = invertHomography(toPicture)
  const random = seeded(request.seed ?? 1)
  const tile = emptyTile({ x: 0, y: 0, width, height })
  const half = patchShare / 2
  const at = (x: number, y: number): Triple => {
    const [u, v] = mapPoint(toChart, [x, y])
    if (u < -0.75 || v < -0.75 || u > CHART24_COLUMNS - 0.25 || v > CHART24_ROWS - 0.25) return ground(x, y)
    const [i, j] = [Math.round(u), Math.round(v)]
    const inside =
      i >= 0 &&
      j >= 0 &&
      i < CHART24_COLUMNS &&
      j < CHART24_ROWS &&
      Math.max(Math.abs(u - i), Math.abs(v - j)) < half
    if (!inside) return [0.022, 0.022, 0.022]
    const index = j * CHART24_COLUMNS + i
    const colour = colours[index]
    return request.patch ? request.patch(index, (u - i) / patchShare, (v - j) / patchShare, colour) : colour
  }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const sum: Triple = [0, 0, 0]
      for (const [dx, dy] of SAMPLES) {
        const sample = at(x + dx, y + dy)
        for (let c = 0; c < 3; c++) sum[c] += sample[c] / SAMPLES.length
      }
      const lit = light ? light(x + 0.5, y + 0.5) : 1
      tile.planes.forEach((plane, c) => {
        // The sum of four even random numbers is near enough to normal here; its variance is 4/12.
        const grain = noise ? (random() + random() + random() + random() - 2) * Math.sqrt(3) * noise : 0
        plane[y * width + x] = sum[c] * lit + grain
      })
    }
  }
  return tile
}

const SAMPLES = [
  [0.25, 0.25],
  [0.75, 0.25],
  [0.25, 0.75],
  [0.75, 0.75],
]

/** An upright chart that fills a share of the picture's width. */
export function uprightChart(width: number, height: number, share = 0.7): Homography {
  const pitch = (width * share) / CHART24_COLUMNS
  return [pitch, 0, width / 2 - 2.5 * pitch, 0, pitch, height / 2 - 1.5 * pitch, 0, 0, 1]
}

/**
 * A chart laid down at random and photographed from the side: any rotation, the camera tilted up to `tiltDeg`, its
 * width `share` of the picture's longer side, wholly inside the picture.
 */
export function randomPlacement(
  random: () => number,
  width: number,
  height: number,
  share: number,
  tiltDeg = 20,
): Homography {
  for (;;) {
    const turn = random() * 2 * Math.PI
    const tilt = (random() * tiltDeg * Math.PI) / 180
    const axis = random() * 2 * Math.PI
    const pitch = (share * Math.max(width, height)) / 6.5
    const distance = 2.2 * Math.max(width, height)
    const centre: Point = [width * (0.1 + 0.8 * random()), height * (0.1 + 0.8 * random())]
    const project = ([u, v]: Point): Point => {
      const [x, y] = [(u - 2.5) * pitch, (v - 1.5) * pitch]
      const [rx, ry] = [x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn)]
      // Tilt about an axis in the chart's plane, then a pinhole camera looks straight down.
      const along = rx * Math.cos(axis) + ry * Math.sin(axis)
      const across = -rx * Math.sin(axis) + ry * Math.cos(axis)
      const [flat, depth] = [across * Math.cos(tilt), across * Math.sin(tilt)]
      const scale = distance / (distance + depth)
      const [px, py] = [along * scale, flat * scale]
      return [
        centre[0] + px * Math.cos(axis) - py * Math.sin(axis),
        centre[1] + px * Math.sin(axis) + py * Math.cos(axis),
      ]
    }
    const from: Point[] = [
      [-0.75, -0.75],
      [5.75, -0.75],
      [5.75, 3.75],
      [-0.75, 3.75],
    ]
    const to = from.map(project)
    if (to.every(([x, y]) => x > 2 && y > 2 && x < width - 2 && y < height - 2)) {
      return fitHomography(from, to, true)!
    }
  }
}

/** A ground of overlapping rectangles of random size, turn and colour. */
export function busyGround(
  random: () => number,
  width: number,
  height: number,
): (x: number, y: number) => Triple {
  const pieces = Array.from({ length: 90 }, () => {
    const angle = random() * Math.PI
    return {
      x: random() * width,
      y: random() * height,
      c: Math.cos(angle),
      s: Math.sin(angle),
      w: (0.01 + 0.12 * random()) * width,
      h: (0.01 + 0.12 * random()) * width,
      colour: [random() ** 2, random() ** 2, random() ** 2] as Triple,
    }
  })
  return (x, y) => {
    for (const { x: px, y: py, c, s, w, h, colour } of pieces) {
      const [dx, dy] = [x - px, y - py]
      if (Math.abs(dx * c + dy * s) < w && Math.abs(-dx * s + dy * c) < h) return colour
    }
    return [0.3, 0.25, 0.18]
  }
}

/** How a camera with its own primaries under a tinted lamp would see colours: a mild mixing matrix and gains. */
export function strangeCamera(random: () => number): (colour: Triple) => Triple {
  const gain = 0.35 + 0.6 * random()
  const tint = [0.7 + 0.5 * random(), 1, 0.7 + 0.5 * random()]
  const mix = Array.from({ length: 9 }, (_, k) => (k % 4 === 0 ? 0.7 + 0.2 * random() : 0.15 * random()))
  return ([r, g, b]) =>
    [0, 1, 2].map(
      (c) => gain * tint[c] * (mix[3 * c] * r + mix[3 * c + 1] * g + mix[3 * c + 2] * b),
    ) as Triple
}
