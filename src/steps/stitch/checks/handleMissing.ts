import { type Problem, WorkError } from '../../../errors.js'
import type { Params } from '../params.js'
import type { Pair } from '../place/comparePair.js'
import type { Placing } from '../place/placeCaptures.js'
import type { Upright } from '../views/Upright.js'

const REMEDY =
  'Capture it again so that it shares at least 8 % with a neighbour, painted structure included; see that its file states the resolution it was captured at; take it out of captures.files if it is of another sheet'

/** Refuses captures that found no place, or warns about them where they may be left out. */
export function handleMissing(
  uprights: readonly Upright[],
  placing: Placing,
  params: Params,
  warnings: string[],
): void {
  const missing = uprights.map((_, i) => i).filter((i) => !placing.placements[i])
  if (!missing.length) return
  const placed = uprights.length - missing.length
  if (placed < 2) throw new WorkError(nothingJoins(uprights, placing))
  const words = missing.map((i) => missingProblem(uprights, i, placing))
  if (!params['allow-missing']) {
    throw new WorkError(
      words.map((problem) => ({
        ...problem,
        todo: `${REMEDY}; or set stitch: { allow-missing: true } to go on without it`,
      })),
    )
  }
  for (const { what, found } of words) warnings.push(`${what}; it was left out (${found})`)
}

/** No two captures lie on each other: one problem, not one for each. */
function nothingJoins(uprights: readonly Upright[], { best, contradicting }: Placing): Problem {
  const [first, ...others] = uprights.map(({ label }) => label)
  const pairs = [...contradicting, ...best.filter((pair) => pair !== undefined)]
  const nearest = pairs.toSorted((a, b) => b.significance - a.significance)[0]
  return {
    what:
      others.length === 1
        ? `${first} finds no place beside ${others[0]}`
        : `${first} finds no place beside any other capture, nor do ${others.join(', ')}`,
    expected: 'two captures to share part of the picture',
    found: nearest
      ? `${nearestWords(uprights, nearest)}: ${scoreOf(nearest)}`
      : 'nothing in one that resembles any part of another',
    todo: 'Capture them so that each shares at least 8 % with a neighbour, painted structure included; see that their files state the resolution they were captured at; take out of captures.files what is of another sheet',
  }
}

function missingProblem(
  uprights: readonly Upright[],
  index: number,
  { best, contradicting }: Placing,
): Problem {
  const pair: Pair | undefined =
    contradicting.find(({ first, second }) => first === index || second === index) ?? best[index]
  const { label } = uprights[index]
  const what = `${label} finds no place on the sheet`
  if (!pair) return { what, found: 'no other capture resembles any part of it' }
  const other = uprights[pair.first === index ? pair.second : pair.first].label
  return {
    what,
    expected: 'part of the picture to be in a neighbour too',
    found: `best candidate ${other}: ${scoreOf(pair)}`,
  }
}

const nearestWords = (uprights: readonly Upright[], { first, second }: Pair) =>
  `best candidates ${uprights[first].label} and ${uprights[second].label}`

function scoreOf({ alignment, significance, ambiguous }: Pair): string {
  const score = `correlation ${alignment.correlation.toFixed(2)} where 0.30 is needed, significance ${significance.toFixed(1)} where 8 is`
  return ambiguous ? `${score}; it fits in more than one place` : score
}
