import { backwards, moved, type Placement } from '../Placement.js'
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
  const tensors = tensorSums(first, seenBySecond(first, second, map))
  let best: { size: WindowSize; places: WindowPlace[] } = { size: SIZES[0], places: [] }
  for (const size of SIZES) {
    const scaled = { sidePx: size.sidePx * unitPx, marginPx: size.marginPx * unitPx }
    const places = placesOf(first, second, map, scaled, tensors, most)
    if (places.length > best.places.length) best = { size, places }
    if (places.length >= ENOUGH[kind]) break
  }
  return best
}

/** View pixels of the first: from the first included to the last not. */
interface Box {
  x0: number
  y0: number
  x1: number
  y1: number
}

/** Share of a view's sides that is looked at beyond the second's corners: a lens bends its sides. */
const BEYOND = 0.05

/** The part of the first's view that holds all the second shows, and what sums over windows in it reach. */
function seenBySecond(first: View, second: View, map: Placement): Box {
  const { width, height, cell } = first.levels[0]
  const [halfX, halfY] = halfExtent(first.upright)
  const [halfX2, halfY2] = halfExtent(second.upright)
  const back = backwards(map)
  const corners = [-1, 1].flatMap((x) => [-1, 1].map((y) => moved(back, x * halfX2, y * halfY2)))
  const [xs, ys] = [corners.map(([x]) => (x + halfX) / cell), corners.map(([, y]) => (y + halfY) / cell)]
  const beyond = BEYOND * Math.max(width, height)
  return {
    x0: Math.max(0, Math.floor(Math.min(...xs) - beyond)),
    y0: Math.max(0, Math.floor(Math.min(...ys) - beyond)),
    x1: Math.min(width, Math.ceil(Math.max(...xs) + beyond)),
    y1: Math.min(height, Math.ceil(Math.max(...ys) + beyond)),
  }
}

type Tensors = ReturnType<typeof tensorSums>

function placesOf(
  first: View,
  second: View,
  map: Placement,
  size: WindowSize,
  tensors: Tensors,
  most: number,
): WindowPlace[] {
  const { cell } = first.levels[0]
  const { x0, y0, x1, y1 } = tensors.box
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
  // Places stand on one grid for the whole view, wherever the box lies.
  const onGrid = (from: number) => reach + 1 + Math.ceil(Math.max(0, from - 1) / step) * step
  for (let j = onGrid(y0); j < y1 - reach - 1; j += step) {
    for (let i = onGrid(x0); i < x1 - reach - 1; i += step) {
      const [x, y] = [(i + 0.5) * cell - halfX, (j + 0.5) * cell - halfY]
      if (!fits(x, y)) continue
      places.push({ x, y, quality: tensors.at(i, j, reach) })
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
function tensorSums(view: View, box: Box) {
  const { width, height, planes } = view.levels[0]
  const { x0: left, y0: top, x1: right, y1: bottom } = box
  const stride = right - left + 1
  const tables = [0, 1, 2].map(() => new Float64Array(Math.max(0, stride * (bottom - top + 1))))
  const [xx, xy, yy] = tables
  for (let y = top; y < bottom; y++) {
    let [rowXx, rowXy, rowYy] = [0, 0, 0]
    for (let x = left; x < right; x++) {
      if (x > 0 && y > 0 && x < width - 1 && y < height - 1) {
        const i = y * width + x
        for (const plane of planes) {
          const gx = plane[i + 1] - plane[i - 1]
          const gy = plane[i + width] - plane[i - width]
          rowXx += gx * gx
          rowXy += gx * gy
          rowYy += gy * gy
        }
      }
      const to = (y - top + 1) * stride + x - left + 1
      xx[to] = xx[to - stride] + rowXx
      xy[to] = xy[to - stride] + rowXy
      yy[to] = yy[to - stride] + rowYy
    }
  }
  return {
    box,
    /** @param reach view pixels to each side; the square lies in the box */
    at(i: number, j: number, reach: number): number {
      const [x0, x1] = [i - reach - left, i + reach + 1 - left]
      const [y0, y1] = [(j - reach - top) * stride, (j + reach + 1 - top) * stride]
      const [sumXx, sumXy, sumYy] = tables.map((t) => t[y1 + x1] - t[y0 + x1] - t[y1 + x0] + t[y0 + x0])
      const half = (sumXx + sumYy) / 2
      const spreadOf = Math.sqrt(((sumXx - sumYy) / 2) ** 2 + sumXy * sumXy)
      return half - spreadOf + 0.05 * (half + spreadOf)
    },
  }
}
