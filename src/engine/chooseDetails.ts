import type { Rect } from '../raster/Rect.js'
import type { Tile } from '../raster/Tile.js'

export interface Detail {
  /** Plain words: what the place shows. */
  title: string
  /** In picture pixels. */
  rect: Rect
}

/** Weights of linear ROMM RGB in Y (second row of its matrix to XYZ D50, ISO 22028-2). */
const LUMA = [0.288, 0.7119, 0.0001]

/** How well a place shows what its title says. `middle` is the structure of an ordinary place of the picture. */
export type Ranks = Record<string, (place: Described, middle: number) => number>

const FOR_REPORT: Ranks = {
  'Fine detail': (c) => c.structure,
  'An even wash': (c) => (1 - c.light) * 0.5 + c.chroma - 8 * c.structure,
  'The lightest paper': (c) => c.light - 8 * c.structure,
}

/**
 * Three telling places of a picture: where most happens, an even painted place, and a light even place; or others.
 * @param view small view of the picture
 * @param factor picture pixels a side of one view pixel
 * @param size of the places in picture pixels; smaller where the picture is smaller
 * @param ranks what is looked for, in the order it is chosen
 */
export function chooseDetails(
  view: Tile,
  factor: number,
  picture: { width: number; height: number },
  size: { width: number; height: number },
  ranks = FOR_REPORT,
): Detail[] {
  const width = Math.min(size.width, picture.width)
  const height = Math.min(size.height, picture.height)
  const candidates = places(picture, width, height).map((rect) => ({ rect, ...describe(view, factor, rect) }))
  const middle = candidates.map(({ structure }) => structure).sort((a, b) => a - b)[candidates.length >> 1]
  const chosen: Detail[] = []
  for (const [title, rank] of Object.entries(ranks)) {
    const free = candidates.filter(({ rect }) => !chosen.some((other) => overlap(rect, other.rect)))
    if (free.length === 0) break
    const best = free.reduce((a, b) => (rank(b, middle) > rank(a, middle) ? b : a))
    chosen.push({ title, rect: best.rect })
  }
  return chosen
}

export interface Described {
  /** Mean absolute step between neighbours in the view, of the square root of luminance. */
  structure: number
  light: number
  chroma: number
  /** Mean of the place in the working space. */
  mean: [r: number, g: number, b: number]
}

function describe(view: Tile, factor: number, rect: Rect): Described {
  const x0 = Math.floor(rect.x / factor)
  const y0 = Math.floor(rect.y / factor)
  const x1 = Math.min(view.rect.width, Math.max(x0 + 2, Math.floor((rect.x + rect.width) / factor)))
  const y1 = Math.min(view.rect.height, Math.max(y0 + 2, Math.floor((rect.y + rect.height) / factor)))
  const [r, g, b] = view.planes
  const lightAt = (i: number) => Math.sqrt(Math.max(0, LUMA[0] * r[i] + LUMA[1] * g[i] + LUMA[2] * b[i]))
  let structure = 0
  let light = 0
  let chroma = 0
  let count = 0
  const sums: Described['mean'] = [0, 0, 0]
  for (let y = y0; y < y1 - 1; y++) {
    for (let x = x0; x < x1 - 1; x++) {
      const i = y * view.rect.width + x
      const here = lightAt(i)
      structure += Math.abs(lightAt(i + 1) - here) + Math.abs(lightAt(i + view.rect.width) - here)
      light += here
      sums[0] += r[i]
      sums[1] += g[i]
      sums[2] += b[i]
      chroma += Math.max(r[i], g[i], b[i]) - Math.min(r[i], g[i], b[i])
      count++
    }
  }
  const n = Math.max(1, count)
  const mean = sums.map((sum) => sum / n) as Described['mean']
  return { structure: structure / n, light: light / n, chroma: chroma / n, mean }
}

/** A grid of places that overlap by half. */
function places(picture: { width: number; height: number }, width: number, height: number): Rect[] {
  const xs = steps(picture.width - width, width / 2)
  const ys = steps(picture.height - height, height / 2)
  return ys.flatMap((y) => xs.map((x) => ({ x, y, width, height })))
}

const steps = (room: number, stride: number) => {
  const count = Math.min(24, Math.floor(room / stride) + 1)
  return Array.from({ length: count }, (_, i) =>
    count === 1 ? Math.floor(room / 2) : Math.round((i * room) / (count - 1)),
  )
}

const overlap = (a: Rect, b: Rect) =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height
