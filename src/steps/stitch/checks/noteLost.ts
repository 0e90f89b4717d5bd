import type { Pair } from '../place/comparePair.js'
import type { PairMatches } from '../refine/measurePair.js'
import type { Upright } from '../views/Upright.js'

/** With so many painted windows or more, a greater share than this not found again is no flat sheet's (which lose 4 % at most). */
const ENOUGH_WINDOWS = 8
const WARN_SHARE = 0.15

/** Warns about a pair some of whose painted places are not found again where a flat sheet would have them. */
export function noteLost(
  uprights: readonly Upright[],
  { first, second }: Pair,
  { tried, lost }: PairMatches,
  warnings: string[],
): void {
  if (tried < ENOUGH_WINDOWS || lost <= WARN_SHARE * tried) return
  warnings.push(
    `${lost} of ${tried} painted places that ${uprights[first].label} and ${uprights[second].label} have in common are not found where a flat sheet would have them; is it flat? Look at their seam`,
  )
}
