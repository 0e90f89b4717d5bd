import { describe, expect, it } from 'vitest'
import { reliefLeft } from '../../src/engine/reliefLeft.js'

const stage = (params: object, reading: object, name = 'paper-texture') => [
  { stage: { name, params, reading } },
]
const READING = { textured: true, reliefRmsPercent: 4, residualDb: -20 }

describe('the relief left in a master', () => {
  it('is what was there at strength 0, and what was measured to be left at strength 1', () => {
    expect(reliefLeft(stage({ strength: 0 }, READING))).toBeCloseTo(0.04, 10)
    // -20 dB is a tenth.
    expect(reliefLeft(stage({ strength: 1 }, READING))).toBeCloseTo(0.004, 10)
    expect(reliefLeft(stage({ strength: 0.5 }, READING))).toBeCloseTo(0.022, 10)
  })

  it('is unknown without the step, and where it found none', () => {
    expect(reliefLeft([])).toBeUndefined()
    expect(reliefLeft(stage({}, READING, 'paper-white'))).toBeUndefined()
    expect(reliefLeft(stage({}, { ...READING, textured: false }))).toBeUndefined()
    expect(reliefLeft(stage({}, {}))).toBeUndefined()
  })
})
