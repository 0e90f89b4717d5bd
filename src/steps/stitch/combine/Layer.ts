import type { SeamMap } from '../Reading.js'
import type { CoarseLight } from '../seams/CoarseLight.js'
import type { FineDetail } from './FineDetail.js'
import type { ReliefModel } from './ReliefModel.js'

/** Captures that share one sheet's picture among them, each place taken from one: all, or all of one lighting. */
export interface Layer {
  /** How the sheet lay for all of them; absent where the layer holds every capture. */
  turned?: 0 | 90 | 180 | 270
  /** Their indices. */
  captures: number[]
  seams: SeamMap
  /** Absent where one capture has it all. */
  coarse?: CoarseLight
}

/** What is known of lightings that are combined. */
export interface Combining {
  /** Sheet pixels over which a lighting comes in from the border of what it covers. */
  featherPx: number
  /** Shares of the covered sheet that two or more lightings hold, and that opposite ones hold. */
  severalShare: number
  opposedShare: number
  /** How the sheet shades; absent where the plain mean is all that can be had. */
  model?: ReliefModel
  /** One for each pair of opposite lightings whose noise could be learned. */
  fine?: FineDetail[]
  /** Root mean square of the single captures' log light about a plane on flat light places. */
  reliefRms?: number
  /** Relief there, combined against single, in dB; absent, all three, where no such place was found. */
  reliefDb?: number
  /** Correlation of the single captures' relief there, -1..1: below 0 where it flipped. */
  reliefCorrelation?: number
}
