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

/** Cells a side of the blocks in which shares are made and kept. */
const BLOCK = 32

/** One label has the block, or each label's share at its cells. */
type Block = number | Map<number, Float32Array>

/**
 * How a seam map shares out the sheet: labels spread over neighbouring cells, interpolated between cells. Shares are made
 * where they are first asked for, and kept.
 * @param spread weights by which a cell's label spreads, an odd number of them
 * @returns for any rectangle in sheet pixels, its shares
 */
export function cellShares(
  labels: Int16Array,
  { cellPx, width, height }: Pick<SeamMap, 'cellPx' | 'width' | 'height'>,
  spread: readonly number[],
): (rect: Rect) => CellShares {
  const blocks = new Map<number, Block>()
  // Blocks begin one before the sheet: cells' middles lie about its first pixels from both sides.
  const across = Math.ceil(width / BLOCK) + 2
  const blockAt = (bx: number, by: number): Block => {
    const key = (by + 1) * across + bx + 1
    const block = blocks.get(key) ?? makeBlock(labels, width, height, spread, bx * BLOCK, by * BLOCK)
    blocks.set(key, block)
    return block
  }
  // Cell centres around a pixel: this one's and the next one's.
  const cellOf = (pixel: number) => Math.floor((pixel + 0.5) / cellPx - 0.5)
  return (rect) => {
    const [x0, y0] = [cellOf(rect.x), cellOf(rect.y)]
    const columns = cellOf(rect.x + rect.width - 1) + 2 - x0
    const rows = cellOf(rect.y + rect.height - 1) + 2 - y0
    const near = gather(blockAt, x0, y0, columns, rows)
    const [only] = near.size === 1 ? near.keys() : []
    return {
      present: new Set(near.keys()),
      only,
      weights(label) {
        const share = near.get(label)
        const out = new Float32Array(rect.width * rect.height)
        if (!share) return out
        for (let j = 0, to = 0; j < rect.height; j++) {
          const v = (rect.y + j + 0.5) / cellPx - 0.5
          const vy = Math.floor(v)
          const fy = v - vy
          const upper = (vy - y0) * columns - x0
          for (let i = 0; i < rect.width; i++, to++) {
            const u = (rect.x + i + 0.5) / cellPx - 0.5
            const ux = Math.floor(u)
            const fx = u - ux
            const at = upper + ux
            out[to] =
              (share[at] * (1 - fx) + share[at + 1] * fx) * (1 - fy) +
              (share[at + columns] * (1 - fx) + share[at + columns + 1] * fx) * fy
          }
        }
        return out
      },
    }
  }
}

/** Shares of the labels that have any in a rectangle of cells. */
function gather(
  blockAt: (bx: number, by: number) => Block,
  x: number,
  y: number,
  columns: number,
  rows: number,
): Map<number, Float32Array> {
  const near = new Map<number, Float32Array>()
  const first = (at: number) => Math.floor(at / BLOCK)
  for (let by = first(y); by <= first(y + rows - 1); by++) {
    for (let bx = first(x); bx <= first(x + columns - 1); bx++) {
      const block = blockAt(bx, by)
      const [left, right] = [Math.max(x, bx * BLOCK), Math.min(x + columns, (bx + 1) * BLOCK)]
      const [top, bottom] = [Math.max(y, by * BLOCK), Math.min(y + rows, (by + 1) * BLOCK)]
      const shares = typeof block === 'number' ? [[block, undefined] as const] : block
      for (const [label, share] of shares) {
        const plane = near.get(label) ?? new Float32Array(columns * rows)
        let any = false
        for (let j = top; j < bottom; j++) {
          for (let i = left; i < right; i++) {
            const value = share ? share[(j - by * BLOCK) * BLOCK + i - bx * BLOCK] : 1
            plane[(j - y) * columns + i - x] = value
            any ||= value > 0
          }
        }
        if (any) near.set(label, plane)
      }
    }
  }
  return near
}

function makeBlock(
  labels: Int16Array,
  width: number,
  height: number,
  spread: readonly number[],
  x: number,
  y: number,
): Block {
  const reach = (spread.length - 1) / 2
  const side = BLOCK + 2 * reach
  const held = (value: number, most: number) => Math.min(Math.max(value, 0), most - 1)
  const local = new Int16Array(side * side)
  const present = new Set<number>()
  for (let j = 0; j < side; j++) {
    const row = held(y - reach + j, height) * width
    for (let i = 0; i < side; i++) {
      const label = labels[row + held(x - reach + i, width)]
      local[j * side + i] = label
      present.add(label)
    }
  }
  if (present.size === 1) return local[0]
  return new Map([...present].map((label) => [label, shareOf(label, local, side, spread)]))
}

/** A label's share at a block's cells: its weights, which are whole numbers, summed across, then down. */
function shareOf(label: number, local: Int16Array, side: number, spread: readonly number[]): Float32Array {
  const upTo = [0]
  for (const weight of spread) upTo.push(upTo[upTo.length - 1] + weight)
  const whole = upTo[spread.length] ** 2
  const across = new Float64Array(BLOCK * side)
  for (let j = 0; j < side; j++) {
    for (let from = 0, to = 0; from < side; from = to) {
      const own = local[j * side + from]
      for (to = from + 1; to < side && local[j * side + to] === own; ) to++
      if (own !== label) continue
      // A run of the label gives each cell the weights that lie on it.
      for (let i = Math.max(0, from + 1 - spread.length); i < Math.min(BLOCK, to); i++) {
        across[j * BLOCK + i] += upTo[Math.min(to - i, spread.length)] - upTo[Math.max(from - i, 0)]
      }
    }
  }
  const share = new Float32Array(BLOCK * BLOCK)
  for (let j = 0; j < BLOCK; j++) {
    for (let i = 0; i < BLOCK; i++) {
      let sum = 0
      for (let k = 0; k < spread.length; k++) sum += spread[k] * across[(j + k) * BLOCK + i]
      share[j * BLOCK + i] = sum / whole
    }
  }
  return share
}
