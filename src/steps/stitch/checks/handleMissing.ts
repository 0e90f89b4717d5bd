import { type Problem, WorkError } from '../../../errors.js'
import type { Params } from '../params.js'
import type { Pair } from '../place/comparePair.js'
import type { Placing } from '../place/placeCaptures.js'
import type { Upright } from '../views/Upright.js'

/** Refuses captures that found no place, or warns about them where they may be left out. */
export function handleMissing(
  uprights: readonly Upright[],
  placing: Placing,
  params: Params,
  warnings: string[],
): void {
  const missing = uprights.map((_, i) => i).filter((i) => !placing.placements[i])
  if (!missing.length) return
  const words = missing.map((i) => missingProblem(uprights, i, placing))
  const placed = uprights.length - missing.length
  if (!params['allow-missing'] || placed < 2) {
    throw new WorkError(
      words.map((problem) => ({
        ...problem,
        todo: 'Capture it again so that it shares at least 8 % with a neighbour, painted structure included; if the sheet lay turned, state turned; take it out of captures.files if it is of another sheet; or set stitch: { allow-missing: true } to go on without it',
      })),
    )
  }
  for (const { what, found } of words) warnings.push(`${what}; it was left out (${found})`)
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
  const score = `best candidate ${other}, correlation ${pair.alignment.correlation.toFixed(2)}, significance ${pair.significance.toFixed(1)}`
  return {
    what,
    expected: 'a correlation of at least 0.30 and a significance of at least 8 with a neighbour',
    found: pair.ambiguous ? `${score}, but it fits in more than one place` : score,
  }
}
