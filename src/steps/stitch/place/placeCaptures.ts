import type { ReadContext } from '../../contract.js'
import type { Placement } from '../Placement.js'
import type { Model } from '../refine/models/Model.js'
import { turnView } from '../views/takeView.js'
import type { View } from '../views/View.js'
import type { Pair } from './comparePair.js'
import { findTurns } from './findTurns.js'
import { type Joined, joinLinks } from './joinLinks.js'
import type { Link } from './Link.js'
import { linkByFeatures } from './linkByFeatures.js'
import { linkBySearch } from './linkBySearch.js'
import { refineByViews } from './refineByViews.js'

export interface Placing {
  /** The views as they were placed: turned back where a capture was found to have lain turned. */
  views: View[]
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
export async function placeCaptures(
  taken: readonly View[],
  context: ReadContext,
  model: Model,
): Promise<Placing> {
  const { kind } = context
  let views = [...taken]
  let links = await linkByFeatures(views, context)
  if (kind === 'flatbed') links = await turnBack(views, links, context)
  let joined = joinLinks(views, links, model, kind)
  context.progress(0.5)
  const lens = joined.placements.find((placement) => placement)?.from
  if (lens && joined.placements.includes(undefined)) {
    // With the lens known from those that are placed, the others' features agree more closely.
    const missing = joined.placements.map((placement) => placement === undefined)
    links.push(...(await linkByFeatures(views, context, (i, j) => missing[i] || missing[j], lens)))
    joined = joinLinks(views, links, model, kind)
  }
  if (kind === 'flatbed') {
    ;({ links, joined } = search(views, links, joined, context, model))
    // What still finds no place may have lain turned without its being stated.
    for (const quarter of [180, 90, 270] as const) {
      const { placements } = joined
      if (!placements.includes(undefined)) break
      const turned = views.map((view, i) => (placements[i] ? view : turnView(view, quarter)))
      const kept = links.filter(({ pair: { first, second } }) => placements[first] && placements[second])
      const found = search(turned, kept, joinLinks(turned, kept, model, kind), context, model)
      if (countOf(found.joined) <= countOf(joined)) continue
      ;({ links, joined } = found)
      views = views.map((view, i) => (!placements[i] && found.joined.placements[i] ? turned[i] : view))
    }
  }
  return {
    views,
    ...(await refineByViews(views, joined, model, context)),
    contradicting: joined.contradicting,
    best: views.map((_, i) => bestOf(links, i)),
  }
}

/** Turns back the views of captures that lay turned without its being stated, and links them as they lie then. */
async function turnBack(views: View[], links: readonly Link[], context: ReadContext): Promise<Link[]> {
  const turns = findTurns(views.length, links)
  for (const [i, quarter] of turns.entries()) if (quarter) views[i] = turnView(views[i], quarter)
  const again = turns.some((quarter) => quarter)
    ? await linkByFeatures(views, context, (i, j) => turns[i] !== 0 || turns[j] !== 0)
    : []
  const kept = links.filter(({ pair: { first, second } }) => !turns[first] && !turns[second])
  return [...kept, ...again].filter(({ quarter }) => quarter === 0)
}

const countOf = ({ placements }: Joined) => placements.filter((placement) => placement !== undefined).length

/**
 * What features do not tell (soft washes, a narrow strip in common) is searched for among thumbnails, then among larger
 * pictures.
 */
function search(
  views: readonly View[],
  known: readonly Link[],
  before: Joined,
  context: ReadContext,
  model: Model,
): { links: Link[]; joined: Joined } {
  const links = [...known]
  let joined = before
  for (let level = views[0].levels.length - 1; level >= 0; level--) {
    if (!joined.placements.includes(undefined) || sideOf(views, level) > MOST_SIDE_PX) break
    const missing = joined.placements.map((placement) => placement === undefined)
    links.push(...linkBySearch(views, context, level, (i, j) => missing[i] || missing[j]))
    joined = joinLinks(views, links, model, context.kind)
  }
  return { links, joined }
}

const sideOf = (views: readonly View[], level: number) =>
  Math.max(...views.flatMap(({ levels }) => [levels[level].width, levels[level].height]))

function bestOf(links: readonly Link[], index: number): Pair | undefined {
  const own = links.map(({ pair }) => pair).filter(({ first, second }) => first === index || second === index)
  return own.sort((a, b) => b.significance - a.significance)[0]
}
