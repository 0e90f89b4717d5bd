import { moved, type Placement } from '../Placement.js'
import { adjust } from '../refine/adjust.js'
import type { Model } from '../refine/models/Model.js'
import type { View } from '../views/View.js'
import type { Pair } from './comparePair.js'
import { fitSimilarity } from './features/findSimilarity.js'
import { isTrusted, type Link } from './Link.js'

/** View pixels by which a link's matches may contradict what stronger links say, in their median. */
const CONTRADICTION_CELLS = { camera: 10, flatbed: 6 } as const

export interface Joined {
  own: (number[] | undefined)[]
  shared: number[]
  placements: (Placement | undefined)[]
  used: Link[]
  contradicting: Pair[]
}

/**
 * Joins captures to the strongest linked ones, each next the one that is linked most strongly, all adjusted after each; a
 * link that contradicts the others is left out, and a capture that no link agrees on.
 * Source of the order: M. Brown, D. G. Lowe, "Automatic panoramic image stitching using invariant features", Int. J.
 * Computer Vision 74(1), 2007, pp. 59-73, doi:10.1007/s11263-006-0002-3 (abstract).
 */
export function joinLinks(
  views: readonly View[],
  links: readonly Link[],
  model: Model,
  kind: keyof typeof CONTRADICTION_CELLS,
): Joined {
  const trusted = links
    .filter(({ pair }) => isTrusted(pair))
    .sort((a, b) => b.pair.significance - a.pair.significance)
  let best = joinGroup(views, [], model, kind)
  const tried = new Set<number>()
  // Links may hold several groups apart: the largest is the sheet.
  for (const { pair } of trusted) {
    if (tried.has(pair.first) || tried.has(pair.second)) continue
    const joined = joinGroup(views, trusted, model, kind, pair.first)
    for (const [i, placement] of joined.placements.entries()) if (placement) tried.add(i)
    if (size(joined) > size(best)) best = joined
  }
  return best
}

const size = ({ placements }: Joined) => placements.filter((placement) => placement !== undefined).length

function joinGroup(
  views: readonly View[],
  trusted: readonly Link[],
  model: Model,
  kind: keyof typeof CONTRADICTION_CELLS,
  begin?: number,
): Joined {
  const state: Joined = {
    own: views.map(() => undefined),
    shared: [...model.shared],
    placements: views.map(() => undefined),
    used: [],
    contradicting: [],
  }
  if (begin === undefined) return state
  const settle = () => {
    const matches = state.used.flatMap((link) => link.matches)
    const { own, shared, placements } = adjust(state.own, matches, model, state.shared, true)
    Object.assign(state, { own, shared, placements })
  }
  state.own[begin] = model.ownOf({ map: [1, 0, 0, 0, 1, 0, 0, 0] })
  state.placements[begin] = model.place(state.own[begin], state.shared)
  const isPlaced = (i: number) => state.own[i] !== undefined
  const joiningOf = (i: number) =>
    trusted.filter(
      ({ pair: { first, second } }) => (first === i && isPlaced(second)) || (second === i && isPlaced(first)),
    )
  const refused = new Set<number>()
  for (;;) {
    const candidates = views
      .map((_, i) => i)
      .filter((i) => !isPlaced(i) && !refused.has(i))
      .map((i) => ({ i, joining: joiningOf(i) }))
      .filter(({ joining }) => joining.length > 0)
      .sort((a, b) => total(b.joining) - total(a.joining))
    if (!candidates.length) return state
    const { i: next, joining } = candidates[0]
    const before = { ...state, own: [...state.own] }
    state.own[next] = model.ownOf(firstGuess(next, joining[0], state.placements))
    state.used = [...state.used, ...joining]
    settle()
    const mostPx = CONTRADICTION_CELLS[kind] * views[0].light.cell
    const against = joining.filter((link) => medianError(link, state.placements) > mostPx)
    if (!against.length) continue
    const contradicting = [...state.contradicting, ...against.map(({ pair }) => pair)]
    if (against.length === joining.length) {
      Object.assign(state, before)
      refused.add(next)
    } else {
      state.used = state.used.filter((link) => !against.includes(link))
      settle()
    }
    state.contradicting = contradicting
  }
}

const total = (links: readonly Link[]) => links.reduce((sum, { pair }) => sum + pair.significance, 0)

/** Where a capture lies by its matches with a placed one, as if neither were tilted: a shift, a turn and a scale. */
function firstGuess(
  index: number,
  { pair, matches }: Link,
  placements: readonly (Placement | undefined)[],
): Placement {
  const pairs = matches.map(({ a, b }) =>
    pair.first === index
      ? { a, b: moved(placements[pair.second]!, ...b) }
      : { a: b, b: moved(placements[pair.first]!, ...a) },
  )
  return { map: fitSimilarity(pairs) }
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
