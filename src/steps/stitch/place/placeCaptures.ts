import type { ReadContext } from '../../contract.js'
import type { Placement } from '../Placement.js'
import type { Model } from '../refine/models/Model.js'
import type { View } from '../views/View.js'
import type { Pair } from './comparePair.js'
import { joinLinks } from './joinLinks.js'
import type { Link } from './Link.js'
import { linkByFeatures } from './linkByFeatures.js'
import { linkBySearch } from './linkBySearch.js'
import { refineByViews } from './refineByViews.js'

export interface Placing {
  /** From each capture's centred coordinates to those of the first placed one; undefined where it found no place. */
  placements: (Placement | undefined)[]
  /** The numbers of the model by which they lie so. */
  own: (number[] | undefined)[]
  shared: number[]
  /** Pairs that lie on each other and agree with the placements. */
  pairs: Pair[]
  /** Pairs that were believed to fit, but contradict stronger ones. */
  contradicting: Pair[]
  /** The best pair that was found for each capture, whether believed or not. */
  best: (Pair | undefined)[]
}

/** Longest side of a level that is still searched as a whole. */
const MOST_SIDE_PX = 256

/** Finds how captures lie on each other, on reduced pictures alone. */
export function placeCaptures(views: readonly View[], context: ReadContext, model: Model): Placing {
  const { kind } = context
  const links = linkByFeatures(views, context).filter(({ quarter }) => kind === 'camera' || quarter === 0)
  let joined = joinLinks(views, links, model, kind)
  context.progress(0.5)
  if (kind === 'flatbed') {
    // What features do not tell (soft washes, a narrow strip in common) is searched for among thumbnails, then among larger.
    for (let level = views[0].levels.length - 1; level >= 0; level--) {
      if (!joined.placements.includes(undefined) || sideOf(views, level) > MOST_SIDE_PX) break
      const missing = joined.placements.map((placement) => placement === undefined)
      links.push(...linkBySearch(views, context, level, (i, j) => missing[i] || missing[j]))
      joined = joinLinks(views, links, model, kind)
    }
  }
  return {
    ...refineByViews(views, joined, model, context),
    contradicting: joined.contradicting,
    best: views.map((_, i) => bestOf(links, i)),
  }
}

const sideOf = (views: readonly View[], level: number) =>
  Math.max(...views.flatMap(({ levels }) => [levels[level].width, levels[level].height]))

function bestOf(links: readonly Link[], index: number): Pair | undefined {
  const own = links.map(({ pair }) => pair).filter(({ first, second }) => first === index || second === index)
  return own.sort((a, b) => b.significance - a.significance)[0]
}
