import type { ReadContext } from '../../../contract.js'
import { moved, type Placement } from '../../Placement.js'
import { adjust } from '../../refine/adjust.js'
import type { Match } from '../../refine/measurePair.js'
import { measureViews } from '../../refine/measureViews.js'
import type { Model } from '../../refine/models/Model.js'
import type { View } from '../../views/View.js'
import { agreement } from '../alignPlacement.js'
import { type Pair, strength } from '../comparePair.js'
import { between, overlap } from '../overlap.js'
import { isTrusted, type ModelledPlacing, type Placing } from '../placeCaptures.js'
import { findFeatures } from './findFeatures.js'
import { findHomography } from './findHomography.js'
import { matchFeatures } from './matchFeatures.js'

/** Two frames whose features agree on a homography. */
interface Link {
  pair: Pair
  matches: Match[]
}

/** A pair of frames is believed when more matches agree than this and this share of all. */
const LEAST_INLIERS = 8
const INLIER_SHARE = 0.3
/** View pixels a feature is off by, as a standard deviation, and by which it may be off from one homography: a lens bends. */
const SIGMA_CELLS = 1
const TOLERANCE_CELLS = 8
/** Cells by which a pair's matches may contradict what stronger pairs say, in their median. */
const CONTRADICTION_CELLS = 10
/** Frames that share less of the smaller one's area are not compared once placed. */
const LEAST_SHARE = 0.02

/**
 * Finds how a camera's frames lie, on reduced pictures alone: features of each are matched with those of every other,
 * pairs that agree on a homography are joined from the strongest down, everything adjusted after each, and at last
 * windows of the reduced pictures are measured instead of features.
 * Source of the order and of the rule for pairs: M. Brown, D. G. Lowe, "Automatic panoramic image stitching using invariant
 * features", Int. J. Computer Vision 74(1), 2007, pp. 59-73, doi:10.1007/s11263-006-0002-3 (inliers > 8 + 0.3 matches, as
 * quoted in a library's matcher).
 */
export function placeFrames(views: readonly View[], context: ReadContext, model: Model): ModelledPlacing {
  const links = linksOf(views, context)
  const state = join(views, links, model)
  const placing = described(views, links, state)
  context.progress(0.5)
  return refined(views, placing, state, model, context)
}

function linksOf(views: readonly View[], context: ReadContext): Link[] {
  const features = views.map((view) => {
    context.checkCancelled()
    return findFeatures(view)
  })
  const links: Link[] = []
  for (let first = 0; first < views.length; first++) {
    for (let second = first + 1; second < views.length; second++) {
      context.checkCancelled()
      const { cell } = views[first].light
      const coarsest = views[first].levels.at(-1)!.cell
      const found = matchFeatures(features[first], features[second], coarsest)
      const consensus = findHomography(found, TOLERANCE_CELLS * cell)
      if (!consensus) continue
      const { map, inliers } = consensus
      const alignment = agreement(views[first], views[second], middleLevel(views[first]), { map })
      if (!alignment) continue
      const sure = 1 / (SIGMA_CELLS * cell) ** 2
      links.push({
        pair: {
          ...{ first, second, alignment, significance: strength(alignment) },
          ambiguous: inliers.length <= LEAST_INLIERS + INLIER_SHARE * found.length,
        },
        matches: inliers.map((k) => ({
          ...{ first, second, information: [sure, 0, sure] as [number, number, number] },
          a: [...found[k].a],
          b: [...found[k].b],
        })),
      })
    }
  }
  return links.sort((a, b) => b.matches.length - a.matches.length)
}

/** The level that shows structure well but forgives a pixel or two. */
const middleLevel = ({ levels }: View): number => Math.max(0, levels.length - 2)

interface Joined {
  own: (number[] | undefined)[]
  shared: number[]
  placements: (Placement | undefined)[]
  used: Link[]
  contradicting: Pair[]
}

/** Joins frames to the strongest pair, each next the one most matches hold. */
function join(views: readonly View[], links: readonly Link[], model: Model): Joined {
  const trusted = links.filter(({ pair }) => isTrusted(pair))
  const state: Joined = {
    own: views.map(() => undefined),
    shared: [...model.shared],
    placements: views.map(() => undefined),
    used: [],
    contradicting: [],
  }
  if (!trusted.length) return state
  const settle = () => {
    const { own, shared, placements } = adjust(
      state.own,
      state.used.flatMap(({ matches }) => matches),
      model,
      state.shared,
      true,
    )
    Object.assign(state, { own, shared, placements })
  }
  const begin = trusted[0].pair.first
  state.own[begin] = model.ownOf({ map: [1, 0, 0, 0, 1, 0, 0, 0] })
  state.placements[begin] = model.place(state.own[begin], state.shared)
  const isPlaced = (i: number) => state.own[i] !== undefined
  const refused = new Set<number>()
  for (;;) {
    let next = -1
    let most = 0
    for (const [i] of views.entries()) {
      if (isPlaced(i) || refused.has(i)) continue
      const held = trusted
        .filter(
          ({ pair: { first, second } }) =>
            (first === i && isPlaced(second)) || (second === i && isPlaced(first)),
        )
        .reduce((sum, { matches }) => sum + matches.length, 0)
      if (held > most) {
        most = held
        next = i
      }
    }
    if (next < 0) break
    const joining = trusted.filter(
      ({ pair: { first, second } }) =>
        (first === next && isPlaced(second)) || (second === next && isPlaced(first)),
    )
    const before = { ...state, own: [...state.own] }
    state.own[next] = model.ownOf(firstGuess(next, joining[0], state.placements))
    state.used = [...state.used, ...joining]
    settle()
    const against = joining.filter(
      (link) => medianError(link, state.placements) > CONTRADICTION_CELLS * views[0].light.cell,
    )
    if (against.length) {
      state.contradicting.push(...against.map(({ pair }) => pair))
      state.used = state.used.filter((link) => !against.includes(link))
      if (against.length === joining.length) {
        Object.assign(state, { ...before, contradicting: state.contradicting })
        refused.add(next)
        continue
      }
      settle()
    }
  }
  return state
}

/** Where a frame lies by its matches with a placed one, as if it were not tilted: a shift, a turn and a scale. */
function firstGuess(
  index: number,
  { pair, matches }: Link,
  placements: readonly (Placement | undefined)[],
): Placement {
  const pairs = matches.map(({ a, b }) =>
    pair.first === index
      ? { from: a, to: moved(placements[pair.second]!, ...b) }
      : { from: b, to: moved(placements[pair.first]!, ...a) },
  )
  const mean = (side: 'from' | 'to', axis: 0 | 1) =>
    pairs.reduce((sum, match) => sum + match[side][axis], 0) / pairs.length
  const [fx, fy, tx, ty] = [mean('from', 0), mean('from', 1), mean('to', 0), mean('to', 1)]
  let [dot, cross, square] = [0, 0, 0]
  for (const { from, to } of pairs) {
    const [x, y, u, v] = [from[0] - fx, from[1] - fy, to[0] - tx, to[1] - ty]
    dot += x * u + y * v
    cross += x * v - y * u
    square += x * x + y * y
  }
  const [c, s] = [dot / square, cross / square]
  return { map: [c, -s, tx - c * fx + s * fy, s, c, ty - s * fx - c * fy, 0, 0] }
}

function medianError({ pair, matches }: Link, placements: readonly (Placement | undefined)[]): number {
  const [one, other] = [placements[pair.first]!, placements[pair.second]!]
  const errors = matches
    .map(({ a, b }) => {
      const [ax, ay] = moved(one, ...a)
      const [bx, by] = moved(other, ...b)
      return Math.hypot(ax - bx, ay - by)
    })
    .sort((p, q) => p - q)
  return errors[errors.length >> 1]
}

function described(views: readonly View[], links: readonly Link[], state: Joined): Placing {
  return {
    placements: state.placements,
    pairs: state.used.map(({ pair }) => pair),
    contradicting: state.contradicting,
    best: views.map((_, i) => links.find(({ pair: { first, second } }) => first === i || second === i)?.pair),
  }
}

/** Rounds of measuring windows of the reduced pictures. */
const ROUNDS = 2

/** Windows of the reduced pictures, of every two frames that lie on each other, decide instead of features. */
function refined(
  views: readonly View[],
  placing: Placing,
  state: Joined,
  model: Model,
  context: ReadContext,
): ModelledPlacing {
  let { own, shared, placements } = state
  let { pairs } = placing
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
        const alignment = agreement(views[first], views[second], middleLevel(views[first]), map)
        if (!alignment) continue
        const pair = { first, second, alignment, significance: strength(alignment), ambiguous: false }
        const linked = state.used.find((link) => link.pair.first === first && link.pair.second === second)
        if (!isTrusted(pair) && !linked) continue
        pairs.push(pair)
        const measured = measureViews(views, { first, second, map })
        matches.push(...measured)
        // Features speak for a pair of which no window was found again.
        if (measured.length < 3 && linked) matches.push(...linked.matches)
      }
    }
    if (!matches.length) break
    const adjusted = adjust(own, matches, model, shared)
    ;({ own, shared, placements } = adjusted)
  }
  return { ...placing, pairs, placements, own, shared }
}
