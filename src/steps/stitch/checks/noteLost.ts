import type { Pair } from '../place/comparePair.js'
import type { PairMatches } from '../refine/measurePair.js'
import type { Upright } from '../views/Upright.js'

/** With so many painted windows or more, a greater share than this not found again is no flat sheet's (which lose 4 % at most). */
const ENOUGH_WINDOWS = 8
const WARN_SHARE = 0.15

/**
 * Warns about captures some of whose painted places are not found again where a flat sheet would have them: of a capture
 * that has it so with every neighbour once, by its name.
 * @param measured one a pair
 */
export function noteLost(
  uprights: readonly Upright[],
  pairs: readonly Pair[],
  measured: readonly Pick<PairMatches, 'tried' | 'lost'>[],
  warnings: string[],
): void {
  let doubtful = pairs
    .map(({ first, second }, k) => ({ first, second, ...measured[k] }))
    .filter(({ tried, lost }) => tried >= ENOUGH_WINDOWS && lost > WARN_SHARE * tried)
  while (doubtful.length > 1) {
    const ownOf = (i: number) => doubtful.filter(({ first, second }) => first === i || second === i)
    const counts = uprights.map((_, i) => ownOf(i).length)
    const worst = counts.indexOf(Math.max(...counts))
    const own = ownOf(worst)
    if (own.length < 2) break
    const [lost, tried] = [own, own].map((list, k) =>
      list.reduce((sum, pair) => sum + (k ? pair.tried : pair.lost), 0),
    )
    warnings.push(
      `${lost} of ${tried} painted places that ${uprights[worst].label} has in common with its neighbours are not found where a flat sheet would have them; does it lie flat, and is it of the same sheet? Look at its seams`,
    )
    doubtful = doubtful.filter((pair) => !own.includes(pair))
  }
  for (const { first, second, tried, lost } of doubtful) {
    warnings.push(
      `${lost} of ${tried} painted places that ${uprights[first].label} and ${uprights[second].label} have in common are not found where a flat sheet would have them; is it flat? Look at their seam`,
    )
  }
}
