import { expect, it } from 'vitest'
import { reliefLeft } from '../../src/engine/reliefLeft.js'
import type { TakenReading } from '../../src/engine/takeReadings.js'

const taken = (left?: number, speaks = true) =>
  ({
    step: speaks ? { reliefLeft: (reading: { left?: number }) => reading.left } : {},
    stage: { name: 'any', params: {}, reading: { left } },
  }) as unknown as TakenReading

it('is what the last step that lessened it measured', () => {
  expect(reliefLeft([taken(0.02), taken(0.004), taken(undefined), taken(9, false)])).toBe(0.004)
})

it('is unknown where no step lessened it', () => {
  expect(reliefLeft([])).toBeUndefined()
  expect(reliefLeft([taken(undefined), taken(9, false)])).toBeUndefined()
})
