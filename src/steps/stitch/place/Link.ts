import type { Match } from '../refine/measurePair.js'
import type { Pair } from './comparePair.js'

/** Two captures that are believed, or may be believed, to show a part of the sheet in common. */
export interface Link {
  pair: Pair
  matches: Match[]
  /** By how much the second seems to have lain turned against the first, beyond what is stated of both. */
  quarter: 0 | 90 | 180 | 270
}

/** Correlation a pair must reach to be believed, and how unlikely chance must be. */
export const LEAST_CORRELATION = 0.3
export const LEAST_SIGNIFICANCE = 8

export const isTrusted = ({ alignment, significance, ambiguous }: Pair): boolean =>
  !ambiguous && alignment.correlation >= LEAST_CORRELATION && significance >= LEAST_SIGNIFICANCE
