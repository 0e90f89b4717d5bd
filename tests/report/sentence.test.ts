import { expect, it } from 'vitest'
import { sentence } from '../../src/report/sentence.js'

it.each([
  ['joins tiles into one sheet', 'Joins tiles into one sheet.'],
  ['436.4 x 289 mm on A3+, landscape', '436.4 x 289 mm on A3+, landscape.'],
  ['Said already.', 'Said already.'],
  ['prints/full.tif, the picture at fit', 'prints/full.tif, the picture at fit.'],
  ['opRGB: the smallest that holds it', 'opRGB: the smallest that holds it.'],
])('%j becomes %j', (text, said) => {
  expect(sentence(text)).toBe(said)
})
