import type { Rect } from '../../../raster/Rect.js'
import type { SeamMap } from '../Reading.js'
import { BLOCK, BLOCK_NUMBERS, blocksAcross, blocksDown, type CoarseLight, STEP_UNIT } from './CoarseLight.js'

/** A layer's coarse light as a worker needs it. */
export interface CoarseSteps {
  cellPx: number
  /** Blocks across and down the sheet. */
  across: number
  down: number
  /** By `pairKey`. */
  pairs: Map<string, { at: Map<number, number>; steps: Float32Array }>
}

export const pairKey = (first: number, second: number): string => `${first} ${second}`

/** Coarse light unpacked. */
export function coarseSteps({ cellPx, pairs }: CoarseLight, seams: SeamMap): CoarseSteps {
  return {
    cellPx,
    across: blocksAcross(seams, cellPx),
    down: blocksDown(seams, cellPx),
    pairs: new Map(
      pairs.map(({ first, second, blocks, steps }) => [
        pairKey(first, second),
        {
          at: new Map(blocks.map((block, k) => [block, k * BLOCK_NUMBERS])),
          steps: unpacked(steps),
        },
      ]),
    ),
  }
}

function unpacked(text: string): Float32Array {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))
  return Float32Array.from(
    { length: bytes.length / 2 },
    (_, i) => (((bytes[2 * i] | (bytes[2 * i + 1] << 8)) << 16) >> 16) * STEP_UNIT,
  )
}

/**
 * Adds weight times a pair's step, interpolated between cells, at every pixel of a rectangle that has a weight.
 * @param sum three planes of the rectangle
 * @param key of the pair
 */
export function addSteps(
  sum: readonly Float32Array[],
  { cellPx, across, down, pairs }: CoarseSteps,
  key: string,
  weight: Float32Array,
  rect: Rect,
): void {
  const pair = pairs.get(key)
  if (!pair) return
  const cellOf = (pixel: number) => Math.floor((pixel + 0.5) / cellPx - 0.5)
  const [x0, y0] = [cellOf(rect.x), cellOf(rect.y)]
  const columns = cellOf(rect.x + rect.width - 1) + 2 - x0
  const rows = cellOf(rect.y + rect.height - 1) + 2 - y0
  // Beyond the sheet's outermost cells these stand.
  const held = (at: number, blocks: number) => Math.min(Math.max(at, 0), blocks * BLOCK - 1)
  const near = sum.map(() => new Float32Array(columns * rows))
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const [x, y] = [held(x0 + i, across), held(y0 + j, down)]
      const from = pair.at.get(Math.floor(y / BLOCK) * across + Math.floor(x / BLOCK))
      if (from === undefined) continue
      const at = from + (y % BLOCK) * BLOCK + (x % BLOCK)
      for (let c = 0; c < near.length; c++) near[c][j * columns + i] = pair.steps[at + c * BLOCK * BLOCK]
    }
  }
  for (let j = 0, to = 0; j < rect.height; j++) {
    const v = (rect.y + j + 0.5) / cellPx - 0.5
    const vy = Math.floor(v)
    const fy = v - vy
    const row = (vy - y0) * columns - x0
    for (let i = 0; i < rect.width; i++, to++) {
      if (weight[to] === 0) continue
      const u = (rect.x + i + 0.5) / cellPx - 0.5
      const ux = Math.floor(u)
      const fx = u - ux
      const at = row + ux
      for (let c = 0; c < near.length; c++) {
        const step = near[c]
        const upper = step[at] * (1 - fx) + step[at + 1] * fx
        const lower = step[at + columns] * (1 - fx) + step[at + columns + 1] * fx
        sum[c][to] += weight[to] * (upper * (1 - fy) + lower * fy)
      }
    }
  }
}
