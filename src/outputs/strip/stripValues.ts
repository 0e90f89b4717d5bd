import { RequestError } from '../../errors.js'

export interface Steps {
  from: number
  to: number
  steps: number
}

/** More rows than this are no strip any more. */
const MOST_STEPS = 24

/**
 * Values in even steps, both ends included, to a thousandth.
 * @param asked what the person said; what was left out comes from `usual`
 * @param least, most what the parameter may be
 * @param now the pipeline's own value: it has its row, where it lies between the ends
 * @throws RequestError for values outside, or fewer than two steps
 */
export function stripValues(
  asked: Partial<Steps>,
  usual: Steps,
  least: number,
  most: number,
  now?: number,
): number[] {
  const { from, to, steps } = { ...usual, ...asked }
  const refuse = (where: string, expected: string, found: number) => {
    throw new RequestError({ where, what: 'not a step of this strip', expected, found: String(found) })
  }
  for (const [where, value] of [
    ['--from', from],
    ['--to', to],
  ] as const) {
    if (!(value >= least && value <= most)) refuse(where, `a number from ${least} to ${most}`, value)
  }
  if (!Number.isInteger(steps) || steps < 2 || steps > MOST_STEPS) {
    refuse('--steps', `a whole number from 2 to ${MOST_STEPS}`, steps)
  }
  if (from === to) refuse('--to', `another number than --from`, to)
  const even = Array.from({ length: steps }, (_, i) =>
    Number((from + ((to - from) * i) / (steps - 1)).toFixed(3)),
  )
  const between = now !== undefined && (now - from) * (now - to) < 0 && !even.includes(now)
  return between ? [...even, now].sort((a, b) => (to > from ? a - b : b - a)) : even
}
