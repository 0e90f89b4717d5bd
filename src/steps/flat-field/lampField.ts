import { blockMedians } from './blockMedians.js'
import type { BoardView } from './boardView.js'
import { luminance } from './luminance.js'
import type { Reading } from './Reading.js'
import { type Blocks, smoothSurface } from './smoothSurface.js'

/** Longest side in blocks, and in nodes of the grids. */
const BLOCKS = 96
const GRID_NODES = 21

export interface Grid {
  columns: number
  rows: number
}

/** The grid over a picture: 21 nodes along its longer side, and at least 8 along the other. */
export function gridFor({ width, height }: { width: number; height: number }): Grid {
  const short = Math.max(8, Math.round((GRID_NODES * Math.min(width, height)) / Math.max(width, height)))
  return width >= height ? { columns: GRID_NODES, rows: short } : { columns: short, rows: GRID_NODES }
}

/** The medians of the view's blocks, by channel. */
export function blocksOf({
  planes,
  width,
  height,
  widthPx,
  heightPx,
  factor,
}: Pick<BoardView, 'planes' | 'width' | 'height' | 'widthPx' | 'heightPx' | 'factor'>): Blocks[] {
  const size = Math.max(1, Math.ceil(Math.max(width, height) / BLOCKS))
  return planes.map((plane) => ({
    ...blockMedians(plane, width, height, size),
    extentX: widthPx / (factor * size),
    extentY: heightPx / (factor * size),
  }))
}

/** The smooth light of each channel at the grid's nodes. */
export function smoothFields(blocks: readonly Blocks[], { columns, rows }: Grid): Float64Array[] {
  return blocks.map((channel) => smoothSurface(channel, columns, rows))
}

/** What a lamp field comes to: the gains that even it out, and how uneven it is. */
export function describeField(
  fields: readonly Float64Array[],
  { columns, rows }: Grid,
): Pick<Reading, 'columns' | 'rows' | 'gains' | 'unevenPercent' | 'cornerLossPercent'> & {
  brightest: [number, number, number]
} {
  const light = fields[0].map((_, k) => luminance(fields[0][k], fields[1][k], fields[2][k]))
  const top = light.indexOf(light.reduce((a, b) => Math.max(a, b)))
  const loss = (k: number) => 100 * (1 - light[k] / light[top])
  const uneven = (values: Float64Array) => 100 * unevenness(values)
  return {
    columns,
    rows,
    gains: fields.map((field) =>
      Array.from(field, (value) => rounded(field[top] / value)),
    ) as Reading['gains'],
    brightest: fields.map((field) => rounded(field[top])) as [number, number, number],
    unevenPercent: {
      red: uneven(fields[0]),
      green: uneven(fields[1]),
      blue: uneven(fields[2]),
      luminance: uneven(light),
    },
    cornerLossPercent: [loss(0), loss(columns - 1), loss(columns * rows - 1), loss(columns * (rows - 1))],
  }
}

/** (largest - smallest) / mean. */
function unevenness(values: Float64Array): number {
  const most = values.reduce((a, b) => Math.max(a, b))
  const least = values.reduce((a, b) => Math.min(a, b))
  return (most - least) / (values.reduce((a, b) => a + b, 0) / values.length)
}

/** Seven digits are a hundred times finer than sixteen bits, and keep the run record small. */
export const rounded = (value: number) => Number(value.toPrecision(7))

/** A grid's value between its nodes. `u`, `v` in nodes. */
export function bilinear(grid: ArrayLike<number>, { columns, rows }: Grid, u: number, v: number): number {
  const i = Math.min(columns - 2, Math.floor(u))
  const j = Math.min(rows - 2, Math.floor(v))
  const [s, t] = [u - i, v - j]
  const at = j * columns + i
  const top = grid[at] + (grid[at + 1] - grid[at]) * s
  const bottom = grid[at + columns] + (grid[at + columns + 1] - grid[at + columns]) * s
  return top + (bottom - top) * t
}
