import type { SpaceName } from '../colour/spaces/SpaceName.js'
import type { RawColour } from '../files/raw/RawColour.js'
import type { Picture8 } from '../findings.js'
import type { Derivation } from '../outputs/contract.js'
import type { DerivedPart } from '../outputs/derive/deriveBlock.js'
import type { Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import type { Tile } from '../raster/Tile.js'
import type { Chain } from './Chain.js'

/** What workers can be asked, each with its answer. */
export interface Tasks {
  /** Regions of one of the chain's pictures at full resolution. */
  regions: { ask: { chain: Chain; index: number; rects: readonly Rect[] }; answer: Tile[] }
  /** One region, averaged over blocks of `factor`; the rect starts on a block. */
  reduced: { ask: { chain: Chain; index: number; rect: Rect; factor: number }; answer: Tile }
  /** A part of a step's reading, on the chain before it. */
  work: { ask: { chain: Chain; step: string; part: unknown }; answer: unknown }
  /** A part of a small view: each of its rows from two picture rows about its middle, averaged across by `factor`. */
  sketch: { ask: { chain: Chain; index: number; rect: Rect; factor: number }; answer: Tile }
  /** A region of the chain's end, encoded into the shared master. */
  master: {
    ask: { chain: Chain; rect: Rect; space: SpaceName; target: Raster }
    answer: { clippedLow: number; clippedHigh: number }
  }
  /** Regions of derivatives that show one block of the master, encoded into their shared rasters. */
  derive: { ask: { master: Raster; space: SpaceName; parts: readonly DerivedPart[] }; answer: null }
  /** A small view of a derivative. */
  preview: { ask: { raster: Raster; space: SpaceName; longestPx: number }; answer: Picture8 }
  /** A tile of the chain's end, encoded into a raster that holds only `place` of the picture. */
  place: {
    ask: { chain: Chain; rect: Rect; place: Rect; space: SpaceName; target: Raster }
    answer: { clippedLow: number; clippedHigh: number }
  }
  /** A rectangle of a derivative, made from the part of the master it needs, once for each sharpening. */
  variants: {
    ask: {
      part: { raster: Raster; place: Rect; space: SpaceName }
      master: { width: number; height: number }
      request: Derivation
      sharpenings: readonly Derivation['sharpening'][]
      rect: Rect
      targets: readonly Raster[]
    }
    answer: null
  }
  /** A camera raw file, developed to linear numbers. */
  raw: { ask: { path: string; whiteBalance: RawColour['whiteBalance'] }; answer: Raster }
  /** SHA-256 of a file, in hexadecimal. */
  hash: { ask: { path: string }; answer: string }
}

export type TaskName = keyof Tasks
export type TaskMessage = { [K in TaskName]: { task: K } & Tasks[K]['ask'] }[TaskName]
