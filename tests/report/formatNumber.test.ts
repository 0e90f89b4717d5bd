import { expect, it } from 'vitest'
import { formatNumber } from '../../src/report/formatNumber.js'

it.each([
  [0, '0'],
  [1.23456, '1.235'],
  [-17.8123, '-17.81'],
  [0.012345, '0.0123'],
  [99.999, '100'],
  [12345.6, '12346'],
  [1e-9, '0'],
  [300, '300'],
])('prints %d as %s', (value, text) => {
  expect(formatNumber(value)).toBe(text)
})
