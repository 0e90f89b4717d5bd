import type { Rect } from '../../../raster/Rect.js'
import type { Tile } from '../../../raster/Tile.js'

/** Side of the cells of the sheet whose mean is the coarse light's raw material. */
const CELL_PX = 8
/** Weights by which coarse light is the mean of the cells about it, each way. */
const KERNEL = [1, 2, 3, 4, 3, 2, 1]
const REACH = (KERNEL.length - 1) / 2
/** Captures that differ by more than this show different things: the logarithm is held there. */
const MOST_LOG = 0.2

/** Whole cells of the sheet: all that say something of a rectangle's coarse light. */
export interface Cells {
  x: number
  y: number
  columns: number
  rows: number
}

/** One capture's light on cells. */
export interface CellLight {
  planes: [Float32Array, Float32Array, Float32Array]
  /** 1 where the capture holds all of a cell. */
  held: Uint8Array
}

const cellOf = (pixel: number) => Math.floor((pixel + 0.5) / CELL_PX - 0.5)

export function cellsAbout({ x, y, width, height }: Rect): Cells {
  const [x0, y0] = [cellOf(x) - REACH, cellOf(y) - REACH]
  return {
    x: x0,
    y: y0,
    columns: cellOf(x + width - 1) + 2 + REACH - x0,
    rows: cellOf(y + height - 1) + 2 + REACH - y0,
  }
}

/** The sheet's pixels in cells; they may leave the sheet. */
export const pixelsOf = ({ x, y, columns, rows }: Cells): Rect => ({
  ...{ x: x * CELL_PX, y: y * CELL_PX },
  ...{ width: columns * CELL_PX, height: rows * CELL_PX },
})

export const cellRect = (cells: Cells, i: number, j: number): Rect => ({
  ...{ x: (cells.x + i) * CELL_PX, y: (cells.y + j) * CELL_PX },
  ...{ width: CELL_PX, height: CELL_PX },
})

/**
 * Light summed over cells.
 * @param tile on `pixelsOf(cells)`
 * @param holds whether the capture holds all of a rectangle
 */
export function lightOnCells(
  { planes }: Tile,
  cells: Cells,
  gain: readonly number[],
  holds: (rect: Rect) => boolean,
): CellLight {
  const { columns, rows } = cells
  const held = new Uint8Array(columns * rows)
  for (let j = 0, at = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++, at++) held[at] = holds(cellRect(cells, i, j)) ? 1 : 0
  }
  const sums = planes.map((plane, c) => {
    const out = new Float32Array(columns * rows)
    for (let j = 0, from = 0; j < rows * CELL_PX; j++) {
      const row = Math.floor(j / CELL_PX) * columns
      for (let i = 0; i < columns; i++) {
        let sum = 0
        for (let k = 0; k < CELL_PX; k++, from++) sum += plane[from]
        out[row + i] += sum * gain[c]
      }
    }
    return out
  })
  return { planes: sums as CellLight['planes'], held }
}

/** Cells a side of the blocks that are kept, and how many of a capture are: small regions ask for the same ones again. */
const BLOCK_CELLS = 4
const MOST_BLOCKS = 512

/** Light on cells from blocks of them, which are made where they are not kept. */
export function gatherCells(
  { x, y, columns, rows }: Cells,
  kept: Map<string, CellLight>,
  make: (block: Cells) => CellLight,
): CellLight {
  const n = columns * rows
  const out: CellLight = {
    planes: [new Float32Array(n), new Float32Array(n), new Float32Array(n)],
    held: new Uint8Array(n),
  }
  const first = (at: number) => Math.floor(at / BLOCK_CELLS) * BLOCK_CELLS
  for (let by = first(y); by < y + rows; by += BLOCK_CELLS) {
    for (let bx = first(x); bx < x + columns; bx += BLOCK_CELLS) {
      const key = `${bx},${by}`
      let block = kept.get(key)
      if (!block) {
        block = make({ x: bx, y: by, columns: BLOCK_CELLS, rows: BLOCK_CELLS })
        if (kept.size >= MOST_BLOCKS) kept.clear()
        kept.set(key, block)
      }
      for (let j = Math.max(by, y); j < Math.min(by + BLOCK_CELLS, y + rows); j++) {
        for (let i = Math.max(bx, x); i < Math.min(bx + BLOCK_CELLS, x + columns); i++) {
          const [from, to] = [(j - by) * BLOCK_CELLS + i - bx, (j - y) * columns + i - x]
          for (let c = 0; c < 3; c++) out.planes[c][to] = block.planes[c][from]
          out.held[to] = block.held[from]
        }
      }
    }
  }
  return out
}

/**
 * By what one capture's coarse light is lighter than another's, as a logarithm, at the cells that are `REACH` inside:
 * both are means over the cells that both hold.
 * @returns three planes; 0 where there is no such cell near
 */
export function coarseSteps(one: CellLight, other: CellLight, { columns, rows }: Cells): Float32Array[] {
  const [across, down] = [columns - 2 * REACH, rows - 2 * REACH]
  const mean = (plane: Float32Array) => {
    const first = new Float64Array(across * rows)
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < across; i++) {
        let sum = 0
        for (const [k, weight] of KERNEL.entries()) {
          const at = j * columns + i + k
          if (one.held[at] && other.held[at]) sum += weight * plane[at]
        }
        first[j * across + i] = sum
      }
    }
    const out = new Float64Array(across * down)
    for (let j = 0; j < down; j++) {
      for (let i = 0; i < across; i++) {
        let sum = 0
        for (const [k, weight] of KERNEL.entries()) sum += weight * first[(j + k) * across + i]
        out[j * across + i] = sum
      }
    }
    return out
  }
  return one.planes.map((plane, c) => {
    const [a, b] = [mean(plane), mean(other.planes[c])]
    const out = new Float32Array(a.length)
    for (let i = 0; i < out.length; i++) {
      if (a[i] > 0 && b[i] > 0) out[i] = Math.min(Math.max(Math.log(a[i] / b[i]), -MOST_LOG), MOST_LOG)
    }
    return out
  })
}

/** Adds weight times a step, interpolated between cells, at every pixel of a rectangle that has a weight. */
export function addSteps(
  sum: readonly Float32Array[],
  steps: readonly Float32Array[],
  cells: Cells,
  weight: Float32Array,
  rect: Rect,
): void {
  const across = cells.columns - 2 * REACH
  for (let j = 0, to = 0; j < rect.height; j++) {
    const v = (rect.y + j + 0.5) / CELL_PX - 0.5
    const vy = Math.floor(v)
    const fy = v - vy
    const row = (vy - cells.y - REACH) * across
    for (let i = 0; i < rect.width; i++, to++) {
      if (weight[to] === 0) continue
      const u = (rect.x + i + 0.5) / CELL_PX - 0.5
      const ux = Math.floor(u)
      const fx = u - ux
      const at = row + ux - cells.x - REACH
      for (let c = 0; c < sum.length; c++) {
        const step = steps[c]
        const upper = step[at] * (1 - fx) + step[at + 1] * fx
        const lower = step[at + across] * (1 - fx) + step[at + across + 1] * fx
        sum[c][to] += weight[to] * (upper * (1 - fy) + lower * fy)
      }
    }
  }
}
