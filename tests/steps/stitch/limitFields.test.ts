import { describe, expect, it } from 'vitest'
import { noteFalloff } from '../../../src/steps/stitch/checks/noteFalloff.js'
import {
  type Correction,
  FLAT,
  fieldTerms,
  type LightField,
} from '../../../src/steps/stitch/light/LightField.js'
import { limitFields } from '../../../src/steps/stitch/light/limitFields.js'
import type { LightMatch } from '../../../src/steps/stitch/light/measureLight.js'
import type { Upright } from '../../../src/steps/stitch/views/Upright.js'

const logAt = (field: LightField, terms: LightField) =>
  terms.reduce((sum, term, k) => sum + term * field[k], 0)

/** Two captures side by side that share a fifth; what is measured is what the corrections even out exactly. */
function pair(corrections: readonly Correction[]): LightMatch[] {
  const matches: LightMatch[] = []
  for (let j = 0; j < 10; j++) {
    for (let i = 0; i < 5; i++) {
      const v = (2 * (j + 0.5)) / 10 - 1
      const [a, b] = [fieldTerms(0.6 + (0.4 * (i + 0.5)) / 5, v), fieldTerms(-1 + (0.4 * (i + 0.5)) / 5, v)]
      const logs = [0, 1, 2].map(
        (c) =>
          Math.log(corrections[0].gain[c] / corrections[1].gain[c]) +
          logAt(corrections[0].field, a) -
          logAt(corrections[1].field, b),
      ) as LightMatch['logs']
      matches.push({ first: 0, second: 1, a, b, logs })
    }
  }
  return matches
}

const bowed = (bow: number): Correction[] =>
  [0.98, 1.02].map((gain) => ({ gain: [gain, gain, gain], field: [bow / 2, 0, bow, 0, 0] }))

describe('a field that only its form speaks for', () => {
  it('is left as it is where it is small', () => {
    const corrections = bowed(0.015)
    const limited = limitFields(corrections, pair(corrections))
    expect(limited.kept).toBe(1)
    expect(limited.corrections).toEqual(corrections)
  })

  it('is kept where a lens has it and every frame', () => {
    const corrections = bowed(0.1)
    const lens: LightField = [0.05, 0, 0.1, 0, 0]
    expect(limitFields(corrections, pair(corrections), lens)).toMatchObject({ corrections, kept: 1 })
  })

  it('lifts no place by more than 3 % that no other capture sees, and captures still agree', () => {
    const corrections = bowed(0.1)
    const matches = pair(corrections)
    const { corrections: held, concluded, kept } = limitFields(corrections, matches)
    // The second capture's right border, which nothing overlaps: half a slope and the whole bow.
    expect(concluded).toBeCloseTo(Math.exp(0.15) - 1, 6)
    for (const { field } of held) {
      for (const u of [-0.3, 0, 0.3]) expect(Math.abs(logAt(field, fieldTerms(u, 0)))).toBeLessThan(0.03)
    }
    expect(logAt(held[1].field, fieldTerms(1, 1))).toBeCloseTo(0.03, 9)
    const left = matches.map(
      ({ a, b, logs }) =>
        logs[1] +
        Math.log(held[1].gain[1] / held[0].gain[1]) +
        logAt(held[1].field, b) -
        logAt(held[0].field, a),
    )
    left.sort((p, q) => p - q)
    expect(Math.abs(left[25])).toBeLessThan(1e-6)
    const product = held[0].gain[0] * held[1].gain[0]
    expect(product).toBeCloseTo(0.98 * 1.02, 9)

    const [statements, warnings]: string[][] = [[], []]
    const uprights = ['left', 'right'].map((label) => ({ label })) as Upright[]
    noteFalloff(
      uprights,
      { corrections: held, concluded, capture: 1, kept, lens: FLAT },
      statements,
      warnings,
    )
    expect(statements).toEqual([])
    expect(warnings.join()).toMatch(/up to 16 % \(right\)/)
  })
})
