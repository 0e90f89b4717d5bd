import type { Structure } from './structure.js'
import type { Upright } from './Upright.js'

/** A capture, upright and reduced: its light, and its structure at several sizes. */
export interface View {
  upright: Upright
  /** Light at the finest level. */
  light: LightLevel
  /** Structure from the finest level to one of about `THUMB_PX` a side for the largest capture, each half the one before. */
  levels: Level[]
}

/** How views are made of captures. */
export interface ViewSize {
  /** Finest pixels a view pixel. */
  cell: number
  /** Levels of structure. */
  depth: number
}

/** Linear planes with `cell` finest pixels a level pixel; pixel (0, 0) begins at the capture's top left corner. */
export interface LightLevel {
  width: number
  height: number
  cell: number
  planes: [Float32Array, Float32Array, Float32Array]
}

export interface Level extends Structure {
  cell: number
}

/** Longest side of the smallest level. */
export const THUMB_PX = 128
