import { describe, expect, it } from 'vitest'
import { errorsOf, GUIDELINES, levelReached } from '../../../src/steps/colour/guidelines.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'

type Lab = [number, number, number]

const patch = (afterLabD50: Lab, referenceLabD50: Lab) =>
  ({ afterLabD50, referenceLabD50 }) as ChartReading['patches'][number]

describe('errorsOf', () => {
  it('weighs lightness by one where a guideline says so: pairs worked out by hand', () => {
    // Lightness alone, at L* 90 and 92: S_L = 1 + 0.015 x 41² / sqrt(20 + 41²), so dE2000 is 2 / 1.6116.
    const light = errorsOf({ patches: [patch([90, 0, 0], [92, 0, 0])], greys: [0] })
    expect(light.mean).toBeCloseTo(2 / (1 + (0.015 * 41 ** 2) / Math.sqrt(20 + 41 ** 2)), 6)
    expect(light.meanSl1).toBeCloseTo(2, 6)
    expect(light).toMatchObject({ mean76: 2, greysL: 2, greysAb: 0 })
    // At L* 50 the two are one. Pair 1 of Sharma, Wu & Dalal 2005: 2.0425.
    const blue = errorsOf({ patches: [patch([50, 2.6772, -79.7751], [50, 0, -82.7485])], greys: [0] })
    expect(blue.mean).toBeCloseTo(2.0425, 4)
    expect(blue.meanSl1).toBeCloseTo(2.0425, 4)
    expect(blue.max76).toBeCloseTo(Math.hypot(2.6772, 2.9734), 6)
  })
})

describe('the guidelines', () => {
  const even = (value: number) => ({
    ...{ mean: value, ninetieth: 2 * value, max: 3 * value, meanSl1: value, maxSl1: 3 * value },
    ...{ mean76: value, max76: 3 * value, greysL: value, greysAb: value },
  })

  it('ask no more of a lower level than of a higher one, and name their source', () => {
    for (const guideline of GUIDELINES) {
      expect(guideline.source.length).toBeGreaterThan(20)
      expect(guideline.name).toMatch(/20\d\d/)
      let best = 0
      for (let value = 0.1; value < 15; value += 0.1) {
        const reached = levelReached(guideline, even(value))
        const at = reached ? guideline.levels.indexOf(reached) : guideline.levels.length
        expect(at).toBeGreaterThanOrEqual(best)
        best = at
      }
      expect(best).toBe(guideline.levels.length)
    }
  })

  it('give the levels of their tables', () => {
    const levels = (value: number) => GUIDELINES.map((one) => levelReached(one, even(value))?.level)
    expect(levels(1.4).slice(0, 5)).toEqual(['4 star', '4 star', 'Level A', 'Full', 'Full'])
    expect(levels(3.6).slice(0, 5)).toEqual(['3 star', '2 star', 'Level B and C', 'Light', 'Light'])
    expect(levels(3.6).slice(5)).toEqual(['2 star', 'Level C', '3 star', 'Level B'])
    expect(levels(20).every((level) => level === undefined)).toBe(true)
  })
})
