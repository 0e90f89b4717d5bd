import type { Rect } from '../../../raster/Rect.js'
import type { SeamMap } from '../Reading.js'

/** Binomial weights by which a cell's label spreads to its neighbours. */
const SPREAD = [1 / 16, 4 / 16, 6 / 16, 4 / 16, 1 / 16]
const REACH = 2

export interface CellShares {
  /** Labels that have any share in the rectangle. */
  present: ReadonlySet<number>
  /** The label that has it all, if one has. */
  only: number | undefined
  /** A label's share at every pixel of the rectangle, 0..1. */
  weights(label: number): Float32Array
}

/** How the seam map shares out a rectangle of the sheet: labels spread over two cells, interpolated between cells. */
export function cellShares(
  labels: Int16Array,
  map: Pick<SeamMap, 'cellPx' | 'width' | 'height'>,
  rect: Rect,
): CellShares {
  const { cellPx, width, height } = map
  // Cell centres around the first and the last pixel, and two more on each side.
  const cellOf = (pixel: number) => Math.floor((pixel + 0.5) / cellPx - 0.5)
  const x0 = cellOf(rect.x)
  const y0 = cellOf(rect.y)
  const columns = cellOf(rect.x + rect.width - 1) + 2 - x0
  const rows = cellOf(rect.y + rect.height - 1) + 2 - y0
  const held = (value: number, most: number) => Math.min(Math.max(value, 0), most - 1)
  const stride = columns + 2 * REACH
  const local = new Int16Array(stride * (rows + 2 * REACH))
  const present = new Set<number>()
  for (let j = 0; j < rows + 2 * REACH; j++) {
    const row = held(y0 - REACH + j, height) * width
    for (let i = 0; i < stride; i++) {
      const label = labels[row + held(x0 - REACH + i, width)]
      local[j * stride + i] = label
      present.add(label)
    }
  }
  return {
    present,
    only: present.size === 1 ? local[0] : undefined,
    weights(label) {
      const across = new Float32Array(columns * (rows + 2 * REACH))
      for (let j = 0; j < rows + 2 * REACH; j++) {
        for (let i = 0; i < columns; i++) {
          let sum = 0
          for (let k = 0; k < SPREAD.length; k++) if (local[j * stride + i + k] === label) sum += SPREAD[k]
          across[j * columns + i] = sum
        }
      }
      const share = new Float32Array(columns * rows)
      for (let j = 0; j < rows; j++) {
        for (let i = 0; i < columns; i++) {
          let sum = 0
          for (let k = 0; k < SPREAD.length; k++) sum += SPREAD[k] * across[(j + k) * columns + i]
          share[j * columns + i] = sum
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
