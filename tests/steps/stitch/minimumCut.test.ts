import { describe, expect, it } from 'vitest'
import { type CutProblem, minimumCut } from '../../../src/steps/stitch/seams/minimumCut.js'
import { random } from './paintedField.js'

/** What a division of the grid costs; infinite where it takes a bound cell from its side. */
function costOf({ width, height, state, right, down, pull }: CutProblem, second: (i: number) => boolean) {
  let sum = 0
  for (let i = 0; i < width * height; i++) {
    if (!state[i]) continue
    if ((state[i] === 2 && second(i)) || (state[i] === 3 && !second(i))) return Infinity
    if (state[i] === 1 && pull && pull[i] > 0 !== second(i)) sum += Math.abs(pull[i])
    if ((i + 1) % width && state[i + 1] && second(i) !== second(i + 1)) sum += right[i]
    if (i + width < width * height && state[i + width] && second(i) !== second(i + width)) sum += down[i]
  }
  return sum
}

describe('a minimum cut', () => {
  it.each([false, true])(
    'costs as little as the best of all divisions of small grids; pull: %s',
    (pulled) => {
      const next = random(5)
      for (let trial = 0; trial < 60; trial++) {
        const [width, height] = [4, 3]
        const n = width * height
        const of = (value: () => number) => Float32Array.from({ length: n }, value)
        const problem: CutProblem = {
          ...{ width, height, right: of(next), down: of(next) },
          // Few are bound; where nothing is, pull alone decides.
          state: Uint8Array.from({ length: n }, () => [1, 1, 1, 1, 1, 0, 2, 3][Math.floor(next() * 8)]),
          ...(pulled ? { pull: of(() => (next() - 0.5) * 1.5) } : {}),
        }
        const found = minimumCut(problem)
        let best = Infinity
        for (let bits = 0; bits < 1 << n; bits++) {
          best = Math.min(
            best,
            costOf(problem, (i) => ((bits >> i) & 1) === 1),
          )
        }
        expect(costOf(problem, (i) => found[i] === 1)).toBeCloseTo(best, 5)
      }
    },
  )
})
