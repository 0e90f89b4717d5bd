import type { ReadContext } from '../../contract.js'
import type { Placement } from '../Placement.js'
import type { View } from '../views/View.js'
import { FLAT, type LightField } from './LightField.js'
import { type Limited, limitFields } from './limitFields.js'
import { measureLight } from './measureLight.js'
import { solveFrames, solveLight } from './solveLight.js'

export interface MatchedLight extends Limited {
  /** What frames' fields share: the lens's loss of light towards the corners, evened out. */
  lens: LightField
}

/** Gains and fields that make all captures agree where they overlap, held back where only overlaps speak for them. */
export function matchLight(
  views: readonly View[],
  placements: readonly (Placement | undefined)[],
  pairs: readonly { first: number; second: number }[],
  { kind, captures }: Pick<ReadContext, 'kind' | 'captures'>,
): MatchedLight {
  const matches = measureLight(views, placements, pairs)
  const { corrections, lens } =
    kind === 'camera'
      ? solveFrames(views.length, matches, captures[0])
      : { corrections: solveLight(views.length, matches), lens: FLAT }
  return { ...limitFields(corrections, matches, lens), lens }
}
