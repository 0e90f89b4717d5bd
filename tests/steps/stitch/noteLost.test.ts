import { describe, expect, it } from 'vitest'
import { noteLost } from '../../../src/steps/stitch/checks/noteLost.js'
import type { Pair } from '../../../src/steps/stitch/place/comparePair.js'
import type { Upright } from '../../../src/steps/stitch/views/Upright.js'

const UPRIGHTS = ['a', 'b', 'c', 'd'].map((label) => ({ label })) as Upright[]
const noted = (...rows: [first: number, second: number, tried: number, lost: number][]) => {
  const warnings: string[] = []
  noteLost(
    UPRIGHTS,
    rows.map(([first, second]) => ({ first, second }) as Pair),
    rows.map(([, , tried, lost]) => ({ tried, lost })),
    warnings,
  )
  return warnings
}

describe('painted places that are not found again', () => {
  it('name the capture that has them with all its neighbours, once', () => {
    const warnings = noted([0, 1, 20, 0], [0, 3, 10, 2], [1, 3, 21, 6], [2, 3, 20, 8], [1, 2, 30, 1])
    expect(warnings).toEqual([expect.stringMatching(/^16 of 51 painted places that d has in common/)])
  })

  it('name the two where it is one pair, and nobody where a flat sheet could have it so', () => {
    expect(noted([0, 1, 20, 6], [1, 2, 20, 1])).toEqual([expect.stringMatching(/^6 of 20 .* a and b have/)])
    expect(noted([0, 1, 20, 3], [1, 2, 7, 6])).toEqual([])
  })
})
