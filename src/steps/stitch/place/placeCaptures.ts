import type { ReadContext } from '../../contract.js'
import { after, backwards, type Placement, STILL } from '../Placement.js'
import type { Model } from '../refine/models/Model.js'
import type { View } from '../views/View.js'
import { alignPlacement } from './alignPlacement.js'
import { comparePair, follow, type Pair, strength } from './comparePair.js'
import { spectraOf, transformSize } from './findCandidates.js'
import { apart, between, overlap } from './overlap.js'

export interface Placing {
  /** From each capture's centred coordinates to those of the first placed one; undefined where it found no place. */
  placements: (Placement | undefined)[]
  /** Pairs that lie on each other and agree with the placements. */
  pairs: Pair[]
  /** Pairs that were believed to fit, but contradict stronger ones. */
  contradicting: Pair[]
  /** The best pair that was found for each capture, whether believed or not. */
  best: (Pair | undefined)[]
}

/** Captures placed, and the numbers of the model by which they are. */
export interface ModelledPlacing extends Placing {
  own: (number[] | undefined)[]
  shared: number[]
}

/** Correlation a pair must reach to be believed, and how unlikely chance must be. */
const LEAST_CORRELATION = 0.3
const LEAST_SIGNIFICANCE = 8

export const isTrusted = ({ alignment, significance, ambiguous }: Pair): boolean =>
  !ambiguous && alignment.correlation >= LEAST_CORRELATION && significance >= LEAST_SIGNIFICANCE

/** Longest side of a level that is still searched as a whole. */
const MOST_SIDE_PX = 256

const sideOf = (views: readonly View[], level: number) =>
  Math.max(...views.flatMap(({ levels }) => [levels[level].width, levels[level].height]))

/** Finds which captures lie on which, on reduced pictures alone. */
export function placeCaptures(views: readonly View[], context: ReadContext, model: Model): ModelledPlacing {
  let level = views[0].levels.length - 1
  const found = searchAll(views, context, level)
  let placing = assemble(views, found)
  // What found no place among thumbnails (a narrow strip in common is lost there) is looked for at twice their size.
  while (placing.placements.includes(undefined) && --level >= 0 && sideOf(views, level) <= MOST_SIDE_PX) {
    const missing = placing.placements.map((placement) => placement === undefined)
    found.push(...searchAll(views, context, level, (i, j) => missing[i] || missing[j]))
    placing = assemble(views, found)
  }
  const complete = addNeighbours(views, placing)
  const own = complete.placements.map((placement) => placement && model.ownOf(placement))
  return { ...complete, own, shared: [...model.shared] }
}

function searchAll(
  views: readonly View[],
  context: ReadContext,
  level: number,
  wanted: (i: number, j: number) => boolean = () => true,
): Pair[] {
  const size = transformSize(views.map(({ levels }) => levels[level]))
  const spectra = views.map((view) => {
    context.checkCancelled()
    return spectraOf(view, view.levels[level], size)
  })
  const pairs: Pair[] = []
  for (let i = 0; i < views.length; i++) {
    for (let j = i + 1; j < views.length; j++) {
      if (!wanted(i, j)) continue
      context.checkCancelled()
      const pair = comparePair(spectra[i], spectra[j], [i, j])
      if (pair) pairs.push(pair)
    }
  }
  return pairs
}

/** Joins pairs from the strongest down; a pair inside what is joined already must agree with it. */
function assemble(views: readonly View[], found: readonly Pair[]): Placing {
  const order = found.toSorted((a, b) => b.significance - a.significance)
  const group = views.map((_, i) => i)
  const placements: Placement[] = views.map(() => STILL)
  const pairs: Pair[] = []
  const contradicting: Pair[] = []
  for (const pair of order) {
    if (!isTrusted(pair)) continue
    const { first, second, alignment } = pair
    if (group[first] === group[second]) {
      const predicted = between(placements[first], placements[second])
      const distance = apart(views[first].upright, views[second].upright, alignment.map, predicted)
      ;(distance < TOLERANCE_CELLS * alignment.cell ? pairs : contradicting).push(pair)
      continue
    }
    // Everything joined to `second` moves so that it lies on `first` as measured.
    const target = after(backwards(alignment.map), placements[first])
    const move = after(backwards(placements[second]), target)
    const joining = group[second]
    for (const [i, g] of group.entries()) {
      if (g !== joining) continue
      placements[i] = after(placements[i], move)
      group[i] = group[first]
    }
    pairs.push(pair)
  }
  const sizes = group.map((g) => group.filter((other) => other === g).length)
  const largest = group[sizes.indexOf(Math.max(...sizes))]
  const best = views.map((_, i) => order.find(({ first, second }) => first === i || second === i))
  return {
    placements: placements.map((placement, i) => (group[i] === largest ? placement : undefined)),
    pairs: pairs.filter(({ first }) => group[first] === largest),
    contradicting,
    best,
  }
}

/** View pixels by which a pair may contradict what stronger pairs say. */
const TOLERANCE_CELLS = 6
/** Captures that share less of the smaller one's area are not compared once placed. */
const LEAST_SHARE = 0.015

/** Pairs the search did not find, but which the placements say lie on each other. */
function addNeighbours(views: readonly View[], placing: Placing): Placing {
  const { placements } = placing
  const pairs = [...placing.pairs]
  for (let i = 0; i < views.length; i++) {
    for (let j = i + 1; j < views.length; j++) {
      const [a, b] = [placements[i], placements[j]]
      if (!a || !b || pairs.some(({ first, second }) => first === i && second === j)) continue
      const guess = between(a, b)
      if (overlap(views[i].upright, views[j].upright, guess).share < LEAST_SHARE) continue
      const coarse = views[i].levels.length > 1 ? follow(views[i], views[j], { map: guess }, 1, 1) : undefined
      const alignment = alignPlacement(views[i], views[j], 0, coarse?.map ?? guess)
      if (!alignment) continue
      if (apart(views[i].upright, views[j].upright, alignment.map, guess) > TOLERANCE_CELLS * alignment.cell)
        continue
      const pair = { first: i, second: j, alignment, significance: strength(alignment), ambiguous: false }
      if (isTrusted(pair)) pairs.push(pair)
    }
  }
  return { ...placing, pairs }
}
