import { cellAreaPx } from './growLattice.js'
import { type Homography, mapPoint } from './homography.js'
import type { LightView } from './lightView.js'

/** A row of greys beside a grid: where it lies, in the grid's coordinates. */
export interface Strip {
  /** The first grey's centre, and the distance from one to the next. */
  left: number
  pitch: number
  row: number
  /** How well its lightness runs with the greys', 0..1. */
  correlation: number
}

/** How far below the grid's last row a scale of greys is looked for, in patch distances, and how finely. */
const REACH = 2.6
const STEP = 0.05

/** Rows this near to the best match are of the same strip: its middle is theirs. */
const AS_GOOD = 0.004

/**
 * Finds the scale of greys below (or above) a target's grid, where makers put it a little differently: as many patches
 * as greys, as wide as the grid's own from one before the first column on, or as wide as the grid altogether.
 * @param greysL lightness of the greys in order
 */
export function placeStrip(
  view: LightView,
  gridToView: Homography,
  { columns, rows }: { columns: number; rows: number },
  greysL: readonly number[],
): Strip | undefined {
  const n = greysL.length
  const widths = [
    { left: (columns - n) / 2, pitch: 1 },
    { left: (columns / n - 1) / 2, pitch: columns / n },
  ]
  const tried: Strip[] = []
  for (const { left, pitch } of widths) {
    for (let off = 0.7; off <= REACH; off += STEP) {
      for (const row of [rows - 1 + off, -off]) {
        for (const shift of [-0.2, -0.1, 0, 0.1, 0.2]) {
          const seen = lightnessAlong(view, gridToView, left + shift, pitch, row, n)
          if (seen) tried.push({ left: left + shift, pitch, row, correlation: correlation(seen, greysL) })
        }
      }
    }
  }
  const best = tried.reduce<Strip | undefined>(
    (a, b) => (a && a.correlation >= b.correlation ? a : b),
    undefined,
  )
  if (!best) return undefined
  const same = tried.filter(
    ({ pitch, row, correlation: c }) =>
      pitch === best.pitch && row > rows / 2 === best.row > rows / 2 && c > best.correlation - AS_GOOD,
  )
  const middle = (of: (one: Strip) => number) => same.reduce((sum, one) => sum + of(one), 0) / same.length
  return { ...best, left: middle(({ left }) => left), row: middle(({ row }) => row) }
}

/** The green channel's lightness at the strip's centres; undefined where one leaves the view. */
function lightnessAlong(
  { seen, width, height }: LightView,
  toView: Homography,
  left: number,
  pitch: number,
  row: number,
  n: number,
): number[] | undefined {
  const values: number[] = []
  for (let k = 0; k < n; k++) {
    const [u, v] = [left + k * pitch, row]
    const reach = Math.max(1, Math.floor(0.18 * Math.sqrt(cellAreaPx(toView, u, v))))
    const [x, y] = mapPoint(toView, [u, v]).map(Math.floor)
    if (x < reach || y < reach || x + reach >= width || y + reach >= height) return undefined
    let sum = 0
    for (let j = y - reach; j <= y + reach; j++) {
      for (let i = x - reach; i <= x + reach; i++) sum += seen[1][j * width + i]
    }
    values.push(sum / (2 * reach + 1) ** 2)
  }
  return values
}

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
  const [ma, mb] = [mean(a), mean(b)]
  let [ab, aa, bb] = [0, 0, 0]
  a.forEach((v, k) => {
    ab += (v - ma) * (b[k] - mb)
    aa += (v - ma) ** 2
    bb += (b[k] - mb) ** 2
  })
  return aa * bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}
