import type { Placement } from '../Placement.js'
import type { Pair } from '../place/comparePair.js'
import { between, overlap } from '../place/overlap.js'
import type { PairReading } from '../Reading.js'
import type { Match } from '../refine/measurePair.js'
import { type Residual, rms } from '../refine/residuals.js'
import type { Upright } from '../views/Upright.js'

/** What the reading says of a pair: how much it shares, and how well its windows agree. */
export function describePair(
  uprights: readonly Upright[],
  placements: readonly (Placement | undefined)[],
  { first, second, alignment }: Pair,
  matches: readonly Match[],
  residuals: readonly Residual[],
): PairReading {
  const own = residuals.filter((_, k) => matches[k].first === first && matches[k].second === second)
  const map = between(placements[first]!, placements[second]!)
  return {
    first,
    second,
    correlation: alignment.correlation,
    overlapShare: overlap(uprights[first], uprights[second], map).share,
    windows: own.length,
    outliers: own.filter(({ weight }) => weight === 0).length,
    residualRmsPx: rms(own),
  }
}
