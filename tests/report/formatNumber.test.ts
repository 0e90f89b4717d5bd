import { expect, it } from 'vitest'
import { formatNumber } from '../../src/report/formatNumber.js'

it.each([
  [0, '0'],
  [1.23456, '1.23'],
  [-17.8123, '-17.8'],
  [0.012345, '0.0123'],
  [99.999, '100'],
  [12345.6, '12346'],
  [1e-9, '0'],
  [300, '300'],
  [170.5, '171'],
  [96, '96'],
  [0.9, '0.9'],
])('prints %d as %s', (value, text) => {
  expect(formatNumber(value)).toBe(text)
})
