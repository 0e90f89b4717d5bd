import type { ReadContext } from '../../contract.js'
import { edgesOf } from '../edges/findEdges.js'
import type { Placement } from '../Placement.js'
import { adjust } from '../refine/adjust.js'
import { adjustFrames } from '../refine/adjustFrames.js'
import type { Match } from '../refine/measurePair.js'
import type { Model } from '../refine/models/Model.js'
import type { View } from '../views/View.js'
import { askWork } from '../WorkTask.js'
import { type Pair, strength } from './comparePair.js'
import type { Joined } from './joinLinks.js'
import { isTrusted } from './Link.js'
import { between, overlap } from './overlap.js'

/** Rounds of measuring windows of the reduced pictures. */
const ROUNDS = 2
/** Captures that share less of the smaller one's area are not compared once placed. */
const LEAST_SHARE = 0.015
/** With fewer windows of a pair than this, what linked it is heard too. */
const FEW_WINDOWS = 3

export interface Refined {
  own: Joined['own']
  shared: number[]
  placements: (Placement | undefined)[]
  pairs: Pair[]
}

/** Windows of the reduced pictures, of every two captures that lie on each other, decide instead of what linked them. */
export async function refineByViews(
  views: readonly View[],
  joined: Joined,
  model: Model,
  context: ReadContext,
): Promise<Refined> {
  let { own, shared, placements } = joined
  let pairs: Pair[] = []
  for (let round = 0; round < ROUNDS; round++) {
    const matches: Match[] = []
    const asks = overlapping(views, placements).map((pair) => ({
      ...pair,
      kind: context.kind,
      level: round === 0 ? Math.max(0, views[pair.first].levels.length - 2) : 0,
    }))
    const answers = await askWork(context, 'compare', asks)
    pairs = []
    for (const [k, { first, second }] of asks.entries()) {
      const answer = answers[k]
      if (!answer) continue
      const { alignment, measured } = answer
      const pair = { first, second, alignment, significance: strength(alignment), ambiguous: false }
      const link = joined.used.find((used) => used.pair.first === first && used.pair.second === second)
      const found = measured.matches.length
      // Neighbours nothing linked show themselves by most of their windows, though the whole does not yet agree.
      if (!isTrusted(pair) && !link && (found < FEW_WINDOWS || 2 * found < measured.tried)) continue
      pairs.push(pair)
      matches.push(...measured.matches)
      if (found < FEW_WINDOWS && link) matches.push(...link.matches)
    }
    if (!matches.length) break
    const edges = context.kind === 'camera' ? edgesOf(views, placements) : []
    ;({ own, shared, placements } =
      context.kind === 'camera'
        ? adjustFrames({ own, shared }, matches, edges, model)
        : adjust(own, matches, model, shared))
  }
  return { own, shared, placements, pairs }
}

/** Every two captures that share enough of the sheet. */
function overlapping(views: readonly View[], placements: readonly (Placement | undefined)[]) {
  return views.flatMap((one, first) =>
    views.flatMap((other, second) => {
      const [a, b] = [placements[first], placements[second]]
      if (second <= first || !a || !b) return []
      const map = between(a, b)
      if (overlap(one.upright, other.upright, map).share < LEAST_SHARE) return []
      return [{ first, second, views: [one, other] as const, map }]
    }),
  )
}
