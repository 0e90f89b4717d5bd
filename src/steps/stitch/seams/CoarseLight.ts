import type { SeamMap } from '../Reading.js'

/** By what captures' coarse light differs about a layer's seams: wherever their wide shares meet. */
export interface CoarseLight {
  /** Side of its cells in sheet pixels; `BLOCK` x `BLOCK` of them are a block. */
  cellPx: number
  pairs: {
    first: number
    second: number
    /** Blocks, counted along the rows of those that cover the sheet. */
    blocks: number[]
    /** Base64 of 16-bit numbers, lower byte first: each block's three planes, in units of `STEP_UNIT`. */
    steps: string
  }[]
}

/** Cells a side of a block. */
export const BLOCK = 4
/** Numbers of a block. */
export const BLOCK_NUMBERS = 3 * BLOCK * BLOCK
/** Of a logarithm: a hundredth of a per cent. */
export const STEP_UNIT = 1e-4

/** Blocks across the sheet, and down. */
export const blocksAcross = ({ cellPx, width }: Pick<SeamMap, 'cellPx' | 'width'>, coarseCellPx: number) =>
  Math.ceil((width * cellPx) / (BLOCK * coarseCellPx))

export const blocksDown = ({ cellPx, height }: Pick<SeamMap, 'cellPx' | 'height'>, coarseCellPx: number) =>
  Math.ceil((height * cellPx) / (BLOCK * coarseCellPx))
