import { expect, it } from 'vitest'
import { reliefLeft } from '../../../src/steps/paper-texture/reliefLeft.js'

const READING = { textured: true, reliefRmsPercent: 4, residualDb: -20 }

it('is what was there at strength 0, and what was measured to be left at strength 1', () => {
  expect(reliefLeft(READING, { strength: 0 })).toBeCloseTo(0.04, 10)
  // -20 dB is a tenth.
  expect(reliefLeft(READING, { strength: 1 })).toBeCloseTo(0.004, 10)
  expect(reliefLeft(READING, { strength: 0.5 })).toBeCloseTo(0.022, 10)
})

it('is unknown where there was none', () => {
  expect(reliefLeft({ ...READING, textured: false }, { strength: 1 })).toBeUndefined()
})
