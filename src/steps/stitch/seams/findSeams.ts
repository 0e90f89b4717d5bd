import type { Layout } from '../layout/layOut.js'
import { type Correction, fieldAt } from '../light/LightField.js'
import { backwards, moved } from '../Placement.js'
import type { SeamMap } from '../Reading.js'
import { sampleLight } from '../views/sampleLight.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { minimumCut } from './minimumCut.js'
import { toRuns } from './runs.js'
import type { Sharper, SharpnessPair } from './sharper.js'
import { sharperThan } from './sharperThan.js'

/** Cells of a seam map at most, and their least side. */
const MOST_CELLS = 500_000
const LEAST_CELL_PX = 4
/** Light below this counts as this much in comparisons. */
const FLOOR = 0.02
/** What one step of a seam costs besides what it crosses: short ways win where captures agree. */
const STEP_COST = 0.02
/** Share of the paint's own edges in the cost: seams keep away from them. */
const EDGE_COST = 0.25
/** A capture's outer zone, as a share of its shorter side, where seams cost more: its focus and light may suffer. */
const BORDER_SHARE = 0.03
const BORDER_COST = 0.3

/** What a cell costs in the softer capture, by the logarithm of the sharper one's contrast over its own. */
const SOFT_COST = 0.5
/**
 * Not so near to either's border, where light comes in and goes out: sheet pixels, but no more than this share of the
 * shorter side. Twice as far inside it counts wholly.
 */
const KEPT_CLEAR_PX = 32
const KEPT_CLEAR_SHARE = 0.08

export interface Seams {
  map: SeamMap
  overlapShare: number
  uncoveredShare: number
}

/**
 * Divides the sheet among its captures: one after the other is laid down, and where it covers what lies already, the
 * border between them takes the cheapest way: through places where both agree, away from edges of paint and from
 * captures' borders. Where one is sharper the border moves into the softer one's side, as far as to its own border.
 * @param sharpness what is known of captures' sharpness where they overlap
 */
export function findSeams(
  views: readonly View[],
  layout: Layout,
  corrections: readonly Correction[],
  sharpness: readonly SharpnessPair[] = [],
): Seams {
  const cellPx = Math.max(LEAST_CELL_PX, Math.ceil(Math.sqrt((layout.width * layout.height) / MOST_CELLS)))
  const width = Math.ceil(layout.width / cellPx)
  const height = Math.ceil(layout.height / cellPx)
  const labels = new Int16Array(width * height).fill(-1)
  const covers = new Uint8Array(width * height)
  const mosaic: Mosaic = {
    labels,
    light: [0, 1, 2].map(() => new Float32Array(width * height)),
    room: new Float32Array(width * height),
  }
  for (const index of layingOrder(views, layout)) {
    const piece = pieceOf(views[index], layout, index, corrections[index], { cellPx, width, height })
    layDown(piece, mosaic, covers, index, width, cellPx, sharperThan(index, sharpness, views))
  }
  let twice = 0
  let none = 0
  for (const count of covers) {
    if (count > 1) twice++
    if (count === 0) none++
  }
  return {
    map: { cellPx, width, height, runs: toRuns(labels) },
    overlapShare: twice / covers.length,
    uncoveredShare: none / covers.length,
  }
}

interface Mosaic {
  labels: Int16Array
  /** Logarithms of light as laid down. */
  light: Float32Array[]
  /** Sheet pixels to the border of the capture laid down. */
  room: Float32Array
}

/** One capture on the cells of the sheet it covers. */
interface Piece {
  x: number
  y: number
  width: number
  height: number
  light: Float32Array[]
  /** Sheet pixels to the capture's border; negative outside. */
  room: Float32Array
}

/** From the sheet's top left on, each next the one whose middle is nearest to what lies already. */
function layingOrder(views: readonly View[], { placements }: Layout): number[] {
  const rest = views.map((_, i) => i).filter((i) => placements[i])
  const middles = placements.map((placement) => (placement ? moved(placement, 0, 0) : [0, 0]))
  const distance = (i: number, j: number) =>
    Math.hypot(middles[i][0] - middles[j][0], middles[i][1] - middles[j][1])
  rest.sort((i, j) => middles[i][0] + middles[i][1] - middles[j][0] - middles[j][1])
  const order = rest.splice(0, 1)
  while (rest.length) {
    const near = rest.map((i) => Math.min(...order.map((j) => distance(i, j))))
    order.push(...rest.splice(near.indexOf(Math.min(...near)), 1))
  }
  return order
}

function pieceOf(
  view: View,
  { placements }: Layout,
  index: number,
  { gain, field }: Correction,
  grid: { cellPx: number; width: number; height: number },
): Piece {
  const placement = placements[index]!
  const [halfX, halfY] = halfExtent(view.upright)
  const corners = [
    moved(placement, -halfX, -halfY),
    moved(placement, halfX, -halfY),
    moved(placement, halfX, halfY),
    moved(placement, -halfX, halfY),
  ]
  const cellOf = (value: number) => Math.floor((value + 0.5) / grid.cellPx)
  const x = Math.max(0, cellOf(Math.min(...corners.map(([cx]) => cx))))
  const y = Math.max(0, cellOf(Math.min(...corners.map(([, cy]) => cy))))
  const width = Math.min(grid.width, cellOf(Math.max(...corners.map(([cx]) => cx))) + 1) - x
  const height = Math.min(grid.height, cellOf(Math.max(...corners.map(([, cy]) => cy))) + 1) - y
  const light = [0, 1, 2].map(() => new Float32Array(width * height))
  const room = new Float32Array(width * height)
  const back = backwards(placement)
  const rgb = new Float64Array(3)
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const sx = (x + i + 0.5) * grid.cellPx - 0.5
      const sy = (y + j + 0.5) * grid.cellPx - 0.5
      const [px, py] = moved(back, sx, sy)
      const at = j * width + i
      room[at] = Math.min(halfX - Math.abs(px), halfY - Math.abs(py))
      if (room[at] <= 0) continue
      // The outermost half view pixel has no light of its own.
      const inset = view.light.cell
      const qx = Math.min(Math.max(px, inset - halfX), halfX - inset)
      const qy = Math.min(Math.max(py, inset - halfY), halfY - inset)
      if (!sampleLight(view, qx, qy, rgb)) continue
      const factor = fieldAt(field, view.upright, qx, qy)
      for (let c = 0; c < 3; c++) light[c][at] = Math.log(Math.max(rgb[c] * gain[c] * factor, FLOOR))
    }
  }
  return { x, y, width, height, light, room }
}

function layDown(
  piece: Piece,
  mosaic: Mosaic,
  covers: Uint8Array,
  index: number,
  stride: number,
  cellPx: number,
  against: ReadonlyMap<number, Sharper>,
): void {
  const { width, height, room, light } = piece
  const n = width * height
  const state = new Uint8Array(n)
  const cost = new Float32Array(n)
  const pull = new Float32Array(n)
  const border = 1.5 * cellPx
  const zone = Math.max(border, BORDER_SHARE * Math.min(width, height) * cellPx)
  const clear = Math.max(border, Math.min(KEPT_CLEAR_PX, KEPT_CLEAR_SHARE * Math.min(width, height) * cellPx))
  let shared = 0
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const at = j * width + i
      if (room[at] <= 0) continue
      const cell = (piece.y + j) * stride + piece.x + i
      if (covers[cell] < 255) covers[cell]++
      if (mosaic.labels[cell] < 0) continue
      shared++
      const other = mosaic.room[cell]
      const least = Math.min(room[at], other)
      state[at] = least > border ? 1 : other >= room[at] ? 2 : 3
      let difference = 0
      for (let c = 0; c < 3; c++) difference += Math.abs(light[c][at] - mosaic.light[c][cell])
      cost[at] =
        STEP_COST +
        difference +
        EDGE_COST * edge(mosaic, cell, stride) +
        BORDER_COST * Math.exp(-least / zone)
      const by = against.get(mosaic.labels[cell])
      if (by) {
        const [x, y] = [(piece.x + i + 0.5) * cellPx - 0.5, (piece.y + j + 0.5) * cellPx - 0.5]
        pull[at] = SOFT_COST * Math.min(1, Math.max(0, least / clear - 1)) * by(x, y)
      }
    }
  }
  let second: Uint8Array | undefined
  if (shared) {
    const right = new Float32Array(n)
    const down = new Float32Array(n)
    for (let at = 0; at < n; at++) {
      if (at + 1 < n) right[at] = cost[at] + cost[at + 1]
      if (at + width < n) down[at] = cost[at] + cost[at + width]
    }
    second = minimumCut({ width, height, state, right, down, pull })
  }
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const at = j * width + i
      if (room[at] <= 0 || (state[at] && !second![at])) continue
      const cell = (piece.y + j) * stride + piece.x + i
      mosaic.labels[cell] = index
      mosaic.room[cell] = room[at]
      for (let c = 0; c < 3; c++) mosaic.light[c][cell] = light[c][at]
    }
  }
}

/** How much the laid picture changes about a cell. */
function edge({ light, labels }: Mosaic, cell: number, stride: number): number {
  let sum = 0
  const right = cell + 1 < labels.length && labels[cell + 1] >= 0 ? cell + 1 : cell
  const below = cell + stride < labels.length && labels[cell + stride] >= 0 ? cell + stride : cell
  for (const plane of light)
    sum += Math.abs(plane[right] - plane[cell]) + Math.abs(plane[below] - plane[cell])
  return sum
}
