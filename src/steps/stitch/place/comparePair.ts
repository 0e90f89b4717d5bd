import { angleOf } from '../Placement.js'
import type { View } from '../views/View.js'
import { type Alignment, alignPlacement } from './alignPlacement.js'
import { type Candidate, findCandidates, type Spectra } from './findCandidates.js'
import { apart, overlap } from './overlap.js'

/** What is known of two captures laid on each other. */
export interface Pair {
  first: number
  second: number
  alignment: Alignment
  /** Correlation times the square root of the compared samples' number; see `isTrusted`. */
  significance: number
  /** Another place fits nearly as well: repeated structure. */
  ambiguous: boolean
}

/** Candidates followed for each pair. */
const CANDIDATES = 6
/** Significance below this is what chance gives among all shifts and turns. */
const LEAST_SIGNIFICANCE = 3.5
/** A rival within this share of the best correlation makes the place ambiguous. */
const RIVAL = 0.85
/** Largest rotation between two flatbed captures, with room for error. */
const LARGEST_TURN_RAD = (7 * Math.PI) / 180

/** The best place of one capture on another, followed from the coarsest level to the finest; undefined where none. */
export function comparePair(
  first: Spectra,
  second: Spectra,
  indices: readonly [number, number],
): Pair | undefined {
  const [viewA, viewB] = [first.view, second.view]
  const coarsest = viewA.levels.length - 1
  const middle = Math.max(0, coarsest - 1)
  const candidates = findCandidates(first, second, CANDIDATES).filter(
    ({ significance }) => significance >= LEAST_SIGNIFICANCE,
  )
  const followed: Alignment[] = []
  for (const candidate of candidates) {
    const alignment = follow(viewA, viewB, candidate, coarsest, middle)
    if (!alignment) continue
    const known = followed.findIndex(
      ({ map }) => apart(viewA.upright, viewB.upright, map, alignment.map) < 4 * alignment.cell,
    )
    if (known < 0) followed.push(alignment)
    else if (followed[known].correlation < alignment.correlation) followed[known] = alignment
  }
  followed.sort((a, b) => strength(b) - strength(a))
  const [best, rival] = followed
  if (!best) return undefined
  const alignment = follow(viewA, viewB, best, middle, 0)
  if (!alignment) return undefined
  return {
    first: indices[0],
    second: indices[1],
    alignment,
    significance: strength(alignment),
    ambiguous: rival !== undefined && strength(rival) > RIVAL * strength(best),
  }
}

/** Aligns level by level; undefined where it leaves what can be. */
export function follow(
  first: View,
  second: View,
  from: Pick<Candidate | Alignment, 'map'>,
  coarsest: number,
  finest: number,
): Alignment | undefined {
  let alignment: Alignment | undefined
  let { map } = from
  for (let level = coarsest; level >= finest; level--) {
    alignment = alignPlacement(first, second, level, map)
    if (!alignment || Math.abs(angleOf(alignment.map)) > LARGEST_TURN_RAD) return undefined
    map = alignment.map
  }
  return overlap(first.upright, second.upright, map).share > 0.01 ? alignment : undefined
}

/** Level pixels that carry one independent sample. */
const PIXELS_A_SAMPLE = 8

export const strength = ({ correlation, samples }: Alignment): number =>
  correlation * Math.sqrt(samples / PIXELS_A_SAMPLE)
