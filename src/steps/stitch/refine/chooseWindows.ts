import { moved, type Placement } from '../Placement.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'

/** A window that is measured, in pixels of what is measured: its side, and what is read around it for the filters' sake. */
export interface WindowSize {
  sidePx: number
  marginPx: number
}

/** Tried from the largest down: narrow common areas of small captures hold only small ones. */
const SIZES: readonly WindowSize[] = [
  { sidePx: 64, marginPx: 24 },
  { sidePx: 40, marginPx: 14 },
  { sidePx: 26, marginPx: 8 },
  { sidePx: 16, marginPx: 6 },
]
/** So many places are enough to be content with a size; frames have tilt and lens to be told as well. */
const ENOUGH = { flatbed: 8, camera: 24 } as const
/** Windows of one pair at most. */
const MOST_WINDOWS = 40

/** Middle of a window on the first capture, centred coordinates, whole upright pixels apart from its parity. */
export interface WindowPlace {
  x: number
  y: number
  /** How much painted structure it has, against the pair's best, 0..1. */
  structure: number
}

/**
 * Windows in the common area of two captures, one in each cell of an even division of it, each where the painted
 * structure of the first holds a shift best in every direction: the smaller eigenvalue of its structure tensor.
 * @param unitPx finest pixels a pixel of what is measured
 * @param most windows at most
 * Source: J. Shi, C. Tomasi, "Good features to track", Proc. CVPR 1994, pp. 593-600 (criterion; from memory).
 */
export function chooseWindows(
  first: View,
  second: View,
  map: Placement,
  kind: keyof typeof ENOUGH,
  unitPx = 1,
  most = MOST_WINDOWS,
): { size: WindowSize; places: WindowPlace[] } {
  const tensors = tensorsOf(first)
  let best: { size: WindowSize; places: WindowPlace[] } = { size: SIZES[0], places: [] }
  for (const size of SIZES) {
    const scaled = { sidePx: size.sidePx * unitPx, marginPx: size.marginPx * unitPx }
    const places = placesOf(first, second, map, scaled, tensors, most)
    if (places.length > best.places.length) best = { size, places }
    if (places.length >= ENOUGH[kind]) break
  }
  return best
}

type Tensors = ReturnType<typeof tensorSums>

/** Each view is asked for every pair it is in. */
const known = new WeakMap<View, Tensors>()

function tensorsOf(view: View): Tensors {
  const found = known.get(view) ?? tensorSums(view)
  known.set(view, found)
  return found
}

function placesOf(
  first: View,
  second: View,
  map: Placement,
  size: WindowSize,
  tensors: Tensors,
  most: number,
): WindowPlace[] {
  const { width, height, cell } = first.levels[0]
  const half = size.sidePx / 2 + size.marginPx
  const [halfX, halfY] = halfExtent(first.upright)
  const [halfX2, halfY2] = halfExtent(second.upright)
  const fits = (x: number, y: number) => {
    const [u, v] = moved(map, x, y)
    const roomA = Math.abs(x) + half <= halfX && Math.abs(y) + half <= halfY
    return roomA && Math.abs(u) + half <= halfX2 && Math.abs(v) + half <= halfY2
  }
  const step = Math.max(1, Math.round(size.sidePx / 4 / cell))
  const reach = Math.max(1, Math.round(size.sidePx / 2 / cell))
  const places: Measured[] = []
  for (let j = reach + 1; j < height - reach - 1; j += step) {
    for (let i = reach + 1; i < width - reach - 1; i += step) {
      const [x, y] = [(i + 0.5) * cell - halfX, (j + 0.5) * cell - halfY]
      if (!fits(x, y)) continue
      places.push({ x, y, quality: tensors(i, j, reach) })
    }
  }
  const chosen = spread(places, size.sidePx, most)
  const best = chosen[0]?.quality ?? 0
  return chosen.map(({ x, y, quality }) => ({
    x: onPixel(x, halfX),
    y: onPixel(y, halfY),
    structure: best > 0 ? quality / best : 0,
  }))
}

interface Measured {
  x: number
  y: number
  quality: number
}

/** The nearest centred coordinate between two upright pixels of a capture of the finest resolution. */
const onPixel = (value: number, half: number) => Math.round(value + half) - half

/** The best place of each cell of a division of the places' extent into about `most` square cells. */
function spread(places: readonly Measured[], sidePx: number, most: number): Measured[] {
  if (!places.length) return []
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity]
  for (const { x, y } of places) {
    x0 = Math.min(x0, x)
    x1 = Math.max(x1, x)
    y0 = Math.min(y0, y)
    y1 = Math.max(y1, y)
  }
  const [w, h] = [x1 - x0 + sidePx, y1 - y0 + sidePx]
  const side = Math.max(sidePx, Math.sqrt((w * h) / most))
  const columns = Math.max(1, Math.floor(w / side))
  const rows = Math.max(1, Math.floor(h / side))
  const best = new Map<number, Measured>()
  for (const place of places) {
    const column = Math.min(columns - 1, Math.floor(((place.x - x0) / w) * columns))
    const row = Math.min(rows - 1, Math.floor(((place.y - y0) / h) * rows))
    const cell = row * columns + column
    const known = best.get(cell)
    if (!known || known.quality < place.quality) best.set(cell, place)
  }
  return [...best.values()].sort((a, b) => b.quality - a.quality).slice(0, most)
}

/** Smaller eigenvalue of the tensor summed over a square, plus a little of the larger: an edge is better than nothing. */
function tensorSums(view: View): (i: number, j: number, reach: number) => number {
  const { width, height, planes } = view.levels[0]
  const stride = width + 1
  const tables = [0, 1, 2].map(() => new Float64Array(stride * (height + 1)))
  for (let y = 0; y < height; y++) {
    const rows = [0, 0, 0]
    for (let x = 0; x < width; x++) {
      if (x > 0 && y > 0 && x < width - 1 && y < height - 1) {
        const i = y * width + x
        for (const plane of planes) {
          const gx = plane[i + 1] - plane[i - 1]
          const gy = plane[i + width] - plane[i - width]
          rows[0] += gx * gx
          rows[1] += gx * gy
          rows[2] += gy * gy
        }
      }
      const to = (y + 1) * stride + x + 1
      for (let k = 0; k < 3; k++) tables[k][to] = tables[k][to - stride] + rows[k]
    }
  }
  return (i, j, reach) => {
    const [x0, x1, y0, y1] = [i - reach, i + reach + 1, j - reach, j + reach + 1]
    const [xx, xy, yy] = tables.map(
      (t) => t[y1 * stride + x1] - t[y0 * stride + x1] - t[y1 * stride + x0] + t[y0 * stride + x0],
    )
    const half = (xx + yy) / 2
    const spreadOf = Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy)
    return half - spreadOf + 0.05 * (half + spreadOf)
  }
}
