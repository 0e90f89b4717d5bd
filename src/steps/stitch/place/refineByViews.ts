import type { ReadContext } from '../../contract.js'
import { edgesOf } from '../edges/findEdges.js'
import type { Placement } from '../Placement.js'
import { adjust } from '../refine/adjust.js'
import { adjustFrames } from '../refine/adjustFrames.js'
import type { Match } from '../refine/measurePair.js'
import { measureViews } from '../refine/measureViews.js'
import type { Model } from '../refine/models/Model.js'
import type { View } from '../views/View.js'
import { agreement } from './alignPlacement.js'
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

/** Windows of the reduced pictures, of every two captures that lie on each other, decide instead of what linked them. */
export function refineByViews(
  views: readonly View[],
  joined: Joined,
  model: Model,
  context: ReadContext,
): { own: Joined['own']; shared: number[]; placements: (Placement | undefined)[]; pairs: Pair[] } {
  let { own, shared, placements } = joined
  let pairs: Pair[] = []
  for (let round = 0; round < ROUNDS; round++) {
    const matches: Match[] = []
    pairs = []
    for (let first = 0; first < views.length; first++) {
      for (let second = first + 1; second < views.length; second++) {
        const [one, other] = [placements[first], placements[second]]
        if (!one || !other) continue
        context.checkCancelled()
        const map = between(one, other)
        if (overlap(views[first].upright, views[second].upright, map).share < LEAST_SHARE) continue
        const level = round === 0 ? Math.max(0, views[first].levels.length - 2) : 0
        const alignment = agreement(views[first], views[second], level, map)
        if (!alignment) continue
        const pair = { first, second, alignment, significance: strength(alignment), ambiguous: false }
        const link = joined.used.find((used) => used.pair.first === first && used.pair.second === second)
        const measured = measureViews(views, { first, second, map }, context.kind)
        const found = measured.matches.length
        // Neighbours nothing linked show themselves by most of their windows, though the whole does not yet agree.
        if (!isTrusted(pair) && !link && (found < FEW_WINDOWS || 2 * found < measured.tried)) continue
        pairs.push(pair)
        matches.push(...measured.matches)
        if (found < FEW_WINDOWS && link) matches.push(...link.matches)
      }
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
