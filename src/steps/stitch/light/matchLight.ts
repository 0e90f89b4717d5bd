import type { ReadContext } from '../../contract.js'
import type { Placement } from '../Placement.js'
import type { View } from '../views/View.js'
import { type Correction, FLAT, type LightField } from './LightField.js'
import { type Limited, limitFields } from './limitFields.js'
import { type LightMatch, measureLight } from './measureLight.js'
import { solveExposures, solveFrames, solveLight } from './solveLight.js'

export interface MatchedLight extends Limited {
  /** What frames' fields share: the lens's loss of light towards the corners, evened out. */
  lens: LightField
}

/** Exposures farther apart than this are mistakes, not chance. */
const CHANCE_LOG = Math.log(1.25)

/**
 * Gains and fields that make all captures agree where they overlap, held back where only overlaps speak for them. Captures
 * exposed quite differently from most are first brought near them: else they would pull all others along, and falloff
 * would have to explain what is left.
 */
export function matchLight(
  views: readonly View[],
  placements: readonly (Placement | undefined)[],
  pairs: readonly { first: number; second: number }[],
  { kind, captures }: Pick<ReadContext, 'kind' | 'captures'>,
): MatchedLight {
  const measured = measureLight(views, placements, pairs)
  const known = unlikeMost(solveExposures(views.length, measured))
  const matches = measured.map(
    (match): LightMatch => ({
      ...match,
      logs: match.logs.map((log) => log + known[match.second] - known[match.first]) as LightMatch['logs'],
    }),
  )
  const { corrections, lens } =
    kind === 'camera'
      ? solveFrames(views.length, matches, captures[0])
      : { corrections: solveLight(views.length, matches), lens: FLAT }
  const limited = limitFields(corrections, matches, lens)
  return {
    ...limited,
    corrections: limited.corrections.map(({ gain, field }, i) => ({
      gain: gain.map((value) => value * Math.exp(known[i])) as Correction['gain'],
      field,
    })),
    lens,
  }
}

/** What of a capture's exposure lies apart from most; of an even number the lighter middle one is the measure. */
function unlikeMost(logs: readonly number[]): number[] {
  const middle = logs.toSorted((a, b) => a - b)[(logs.length - 1) >> 1]
  return logs.map((log) => (Math.abs(log - middle) > CHANCE_LOG ? log - middle : 0))
}
