import { describe, expect, it } from 'vitest'
import { table } from '../../../src/commands/display/table.js'
import { timeLeft } from '../../../src/commands/display/timeLeft.js'
import { mmWords, numberWords, sizeWords, timeWords } from '../../../src/commands/display/words.js'

describe('words', () => {
  it.each([
    [0, '0.0 s'],
    [3.44, '3.4 s'],
    [9.96, '10 s'],
    [59.4, '59 s'],
    [59.6, '1 min 0 s'],
    [125, '2 min 5 s'],
    [3599, '59 min 59 s'],
    [4320, '1 h 12 min'],
  ])('for %d seconds', (seconds, words) => expect(timeWords(seconds)).toBe(words))

  it.each([
    [1, '1 kB'],
    [812e6, '812 MB'],
    [999.6e6, '1.0 GB'],
    [1.44e9, '1.4 GB'],
    [25e9, '25 GB'],
  ])('for %d bytes', (bytes, words) => expect(sizeWords(bytes)).toBe(words))

  it.each([
    [1.23456, '1.235'],
    [0.000123461, '0.0001235'],
    [123456.7, '123457'],
    [0, '0'],
    [-2.5, '-2.5'],
    [Number.NaN, 'NaN'],
  ])('for the number %d', (value, words) => expect(numberWords(value)).toBe(words))

  it('for a size on paper', () => expect(mmWords(210, 296.96)).toBe('210 x 297 mm'))
})

describe('a table', () => {
  it('sets words flush left and numbers flush right', () => {
    expect(
      table(
        ['file', 'ppi'],
        [
          ['a.tif', '600'],
          ['long-name.tif', '72'],
        ],
      ),
    ).toEqual(['  file           ppi', '  a.tif          600', '  long-name.tif   72'])
  })
  it('leaves names that start with a number flush left', () => {
    expect(table(['file'], [['1.tif'], ['10.tif']])).toEqual(['  file', '  1.tif', '  10.tif'])
  })
  it('stands without rows', () => expect(table(['a', 'b'], [])).toEqual(['  a  b']))
})

describe('the time left', () => {
  it('follows from the pace so far', () => {
    expect(timeLeft(30, 0.25)).toBeCloseTo(90, 10)
    expect(timeLeft(30, 1)).toBe(0)
  })
  it('is not guessed from next to nothing', () => {
    expect(timeLeft(1, 0.5)).toBeUndefined()
    expect(timeLeft(60, 0.01)).toBeUndefined()
  })
})
