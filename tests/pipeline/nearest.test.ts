import { describe, expect, it } from 'vitest'
import { editDistance, nearest } from '../../src/pipeline/text/nearest.js'

describe('the edit distance', () => {
  it.each([
    // kitten and sitting: the usual worked example of V. I. Levenshtein's distance (Soviet Physics Doklady 10(8), 1966).
    ['kitten', 'sitting', 3],
    // A swap of neighbours counts once, and a letter is edited once: CA and ABC are 3 apart in this form of
    // F. J. Damerau's distance (Communications of the ACM 7(3), 1964), 2 in the unrestricted one.
    ['CA', 'ABC', 3],
    ['titel', 'title', 1],
    ['', 'abc', 3],
    ['same', 'same', 0],
  ])('from %s to %s is %i', (a, b, edits) => {
    expect(editDistance(a, b)).toBe(edits)
    expect(editDistance(b, a)).toBe(edits)
  })
})

describe('the nearest word', () => {
  const STEPS = ['flat-field', 'colour', 'stitch', 'paper-texture', 'paper-white', 'hue']
  it.each([
    ['stich', 'stitch'],
    ['flatfield', 'flat-field'],
    ['Paper_Texture', 'paper-texture'],
    ['color', 'colour'],
    ['texture', 'paper-texture'],
    ['fl', 'flat-field'],
    ['paper', undefined],
    ['sharpen', undefined],
    ['x', undefined],
  ])('to %s is %s', (text, word) => {
    expect(nearest(text, STEPS)).toBe(word)
  })
})
