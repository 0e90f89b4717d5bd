import { WorkError } from '../../../errors.js'
import type { Pair } from '../place/comparePair.js'
import type { PairMatches } from '../refine/measurePair.js'
import type { Upright } from '../views/Upright.js'
import { FLAT_TODO, MOST_LOST } from './limits.js'

/** With so many painted windows or more, the share not found again counts. */
const ENOUGH_WINDOWS = 6

/** Refuses a pair most of whose painted windows are not found where a flat sheet would have them. */
export function refuseOtherScene(
  uprights: readonly Upright[],
  { first, second }: Pair,
  { tried, lost }: PairMatches,
): void {
  if (tried < ENOUGH_WINDOWS || lost <= MOST_LOST * tried) return
  throw new WorkError({
    what: `${uprights[first].label} and ${uprights[second].label} do not fit together as one flat sheet`,
    expected: `most painted places of their common area to be found again after shift and rotation`,
    found: `${lost} of ${tried} that are not`,
    todo: FLAT_TODO,
  })
}
