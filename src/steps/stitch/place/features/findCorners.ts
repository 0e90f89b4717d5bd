import { blurSize, bringRows, takeRows } from '../../../../raster/blurred.js'
import { holding, kernels } from '../../../../raster/kernels/kernels.js'
import type { Level } from '../../views/View.js'

const BORDER_PX = 4
/** Strongest corners that are spread, for each that is kept. */
const LOOKED_AT = 6
/** A corner counts as stronger only by this. */
const STRONGER = 0.9

/**
 * Level pixels where structure changes most in every direction, spread evenly: each is kept by how far the next stronger
 * one is.
 */
export function findCorners(level: Level, wanted: number): [x: number, y: number][] {
  const { width } = level
  const strength = cornerStrength(level)
  const best = strongest(strength, level, LOOKED_AT * wanted)
  const radii = distancesToStronger(strength, best, level)
  return [...best.keys()]
    .sort((i, j) => radii[j] - radii[i])
    .slice(0, wanted)
    .map((i) => [
      (best[i] % width) + vertex(strength, best[i], 1),
      Math.floor(best[i] / width) + vertex(strength, best[i], width),
    ])
}

/** Determinant over trace of the structure tensor summed over squares of 5 pixels; not good within 3 pixels of the border. */
export function cornerStrength({ width, height, planes }: Level): Float32Array {
  const size = blurSize(width, height)
  const { planeBytes } = size
  return holding(
    [planeBytes, planeBytes, planeBytes, 6 * planeBytes + 32, planeBytes],
    (a, b, c, work, out) => {
      const places = [a, b, c] as const
      for (const [k, plane] of planes.entries()) bringRows(plane, places[k], size)
      kernels().cornerStrength(...places, size.stride, height, work + 16, out)
      return takeRows(out, size)
    },
  )
}

/** Where strength has its highest maxima, highest first. */
function strongest(strength: Float32Array, { width, height }: Level, most: number): Int32Array {
  const keys: number[] = []
  const bits = new Uint32Array(strength.buffer)
  for (let y = BORDER_PX; y < height - BORDER_PX; y++) {
    for (let at = y * width + BORDER_PX; at < (y + 1) * width - BORDER_PX; at++) {
      const value = strength[at]
      if (!(value > 0) || value < strength[at - 1] || value < strength[at - width]) continue
      if (value <= strength[at + 1] || value <= strength[at + width]) continue
      // Positive numbers sort as their bits do; of equal ones the first place comes first.
      keys.push(bits[at] * PLACES + (PLACES - 1 - at))
    }
  }
  const sorted = Float64Array.from(keys).sort().reverse().subarray(0, most)
  return Int32Array.from(sorted, (key) => PLACES - 1 - (key % PLACES))
}

/** Places a key can tell apart: with a number's 32 bits before it, it stays exact in a float64. */
const PLACES = 2 ** 21

/** Squared distance of each place to the nearest that is clearly stronger; strongest places first. */
function distancesToStronger(
  strength: Float32Array,
  best: Int32Array,
  { width, height }: Level,
): Float64Array {
  const cellPx = Math.max(4, Math.ceil(Math.sqrt((width * height) / Math.max(1, best.length))))
  const columns = Math.ceil(width / cellPx)
  const rows = Math.ceil(height / cellPx)
  const cells: number[][] = Array.from({ length: columns * rows }, () => [])
  const radii = new Float64Array(best.length)
  let entered = 0
  for (const [i, place] of best.entries()) {
    for (; entered < i && STRONGER * strength[best[entered]] > strength[place]; entered++) {
      const at = best[entered]
      cells[Math.floor(Math.floor(at / width) / cellPx) * columns + Math.floor((at % width) / cellPx)].push(
        at,
      )
    }
    const [x, y] = [place % width, Math.floor(place / width)]
    const [column, row] = [Math.floor(x / cellPx), Math.floor(y / cellPx)]
    let nearest = Number.POSITIVE_INFINITY
    // Rings of cells about the place's own, until none can hold a nearer one.
    for (let ring = 0; ring < Math.max(columns, rows) && nearest > ((ring - 1) * cellPx) ** 2; ring++) {
      for (let v = Math.max(0, row - ring); v <= Math.min(rows - 1, row + ring); v++) {
        const whole = Math.abs(v - row) === ring
        for (let u = column - ring; u <= column + ring; u += whole || ring === 0 ? 1 : 2 * ring) {
          if (u < 0 || u >= columns) continue
          for (const at of cells[v * columns + u]) {
            nearest = Math.min(nearest, ((at % width) - x) ** 2 + (Math.floor(at / width) - y) ** 2)
          }
        }
      }
      if (entered === 0) break
    }
    radii[i] = nearest
  }
  return radii
}

/** Where between pixels a parabola through three values is highest. */
function vertex(values: Float32Array, at: number, step: number): number {
  const [before, here, behind] = [values[at - step], values[at], values[at + step]]
  const bend = before - 2 * here + behind
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - behind) / (2 * bend))) : 0
}
