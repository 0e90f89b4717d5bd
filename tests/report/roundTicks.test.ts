import fc from 'fast-check'
import { expect, it } from 'vitest'
import { roundStep, roundTicks } from '../../src/report/roundTicks.js'

it.each([
  [0, 1, [0, 0.5, 1]],
  [-23.74, 0, [-20, -10, 0]],
  [2, 32, [10, 20, 30]],
  [0, 360, [0, 100, 200, 300]],
])('marks %d to %d at round numbers', (low, high, ticks) => {
  expect(roundTicks(low, high)).toEqual(ticks)
})

it('finds at most five marks in any range, evenly spaced and inside it', () => {
  const range = fc.tuple(
    fc.double({ min: -1e6, max: 1e6, noNaN: true }),
    fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
  )
  fc.assert(
    fc.property(range, ([low, span]) => {
      const high = low + span
      const step = roundStep(low, high)
      const ticks = roundTicks(low, high)
      expect(ticks.length).toBeGreaterThanOrEqual(1)
      expect(ticks.length).toBeLessThanOrEqual(5)
      expect(ticks[0]).toBeGreaterThanOrEqual(low - 1e-6 * step - 1e-9 * Math.abs(low))
      expect(ticks.at(-1)!).toBeLessThanOrEqual(high + 1e-6 * step + 1e-9 * Math.abs(high))
      for (let i = 1; i < ticks.length; i++) expect((ticks[i] - ticks[i - 1]) / step).toBeCloseTo(1, 3)
    }),
    { seed: 11 },
  )
})
