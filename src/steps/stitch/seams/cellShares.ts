import type { Rect } from '../../../raster/Rect.js'
import type { SeamMap } from '../Reading.js'

/** How far a label spreads for fine detail: no further than from cell to cell. */
export const NARROW: readonly number[] = [1]
/** A wide transition's reach to each side, in sheet pixels; no less than so many cells. */
const WIDE_PX = 96
const LEAST_CELLS = 3

/** Weights, whole numbers and so exact in sums, by which a label spreads in a wide transition. */
export function wideSpread(cellPx: number): number[] {
  const reach = Math.max(LEAST_CELLS, Math.round(WIDE_PX / cellPx))
  return Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.round(500 * (1 + Math.cos((Math.PI * (i - reach)) / (reach + 1)))),
  )
}

export interface CellShares {
  /** Labels that have any share in the rectangle. */
  present: ReadonlySet<number>
  /** The label that has it all, if one has. */
  only: number | undefined
  /** A label's share at every pixel of the rectangle, 0..1. */
  weights(label: number): Float32Array
}

/**
 * How the seam map shares out a rectangle of the sheet: labels spread over neighbouring cells, interpolated between cells.
 * @param spread weights by which a cell's label spreads, an odd number of them
 */
export function cellShares(
  labels: Int16Array,
  map: Pick<SeamMap, 'cellPx' | 'width' | 'height'>,
  rect: Rect,
  spread: readonly number[],
): CellShares {
  const reach = (spread.length - 1) / 2
  const whole = spread.reduce((sum, weight) => sum + weight, 0) ** 2
  const { cellPx, width, height } = map
  // Cell centres around the first and the last pixel, and what spreads to them from each side.
  const cellOf = (pixel: number) => Math.floor((pixel + 0.5) / cellPx - 0.5)
  const x0 = cellOf(rect.x)
  const y0 = cellOf(rect.y)
  const columns = cellOf(rect.x + rect.width - 1) + 2 - x0
  const rows = cellOf(rect.y + rect.height - 1) + 2 - y0
  const held = (value: number, most: number) => Math.min(Math.max(value, 0), most - 1)
  const stride = columns + 2 * reach
  const local = new Int16Array(stride * (rows + 2 * reach))
  const present = new Set<number>()
  for (let j = 0; j < rows + 2 * reach; j++) {
    const row = held(y0 - reach + j, height) * width
    for (let i = 0; i < stride; i++) {
      const label = labels[row + held(x0 - reach + i, width)]
      local[j * stride + i] = label
      present.add(label)
    }
  }
  return {
    present,
    only: present.size === 1 ? local[0] : undefined,
    weights(label) {
      const across = new Float32Array(columns * (rows + 2 * reach))
      for (let j = 0; j < rows + 2 * reach; j++) {
        for (let i = 0; i < columns; i++) {
          let sum = 0
          for (let k = 0; k < spread.length; k++) if (local[j * stride + i + k] === label) sum += spread[k]
          across[j * columns + i] = sum
        }
      }
      const share = new Float32Array(columns * rows)
      for (let j = 0; j < rows; j++) {
        for (let i = 0; i < columns; i++) {
          let sum = 0
          for (let k = 0; k < spread.length; k++) sum += spread[k] * across[(j + k) * columns + i]
          share[j * columns + i] = sum / whole
        }
      }
      const out = new Float32Array(rect.width * rect.height)
      for (let j = 0, to = 0; j < rect.height; j++) {
        const v = (rect.y + j + 0.5) / cellPx - 0.5
        const vy = Math.floor(v)
        const fy = v - vy
        const upper = (vy - y0) * columns
        for (let i = 0; i < rect.width; i++, to++) {
          const u = (rect.x + i + 0.5) / cellPx - 0.5
          const ux = Math.floor(u)
          const fx = u - ux
          const at = upper + ux - x0
          out[to] =
            (share[at] * (1 - fx) + share[at + 1] * fx) * (1 - fy) +
            (share[at + columns] * (1 - fx) + share[at + columns + 1] * fx) * fy
        }
      }
      return out
    },
  }
}
