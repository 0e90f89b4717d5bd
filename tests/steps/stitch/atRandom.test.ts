import { describe, expect, it } from 'vitest'
import { placeAtRandom, RIGHT } from './randomCutUps.js'

/** Of the hundred of each kind: `npm run bench -- cutups`. */
describe('cut-ups drawn at random', () => {
  it.each([
    ['flatbed', 0],
    ['flatbed', 1],
    ['flatbed', 2],
    ['camera', 0],
    ['camera', 1],
    ['camera', 3],
  ] as const)('%s %i lies right, or is refused by name', async (kind, seed) => {
    const result = await placeAtRandom(kind, seed)
    if ('refused' in result) {
      expect(result.refused.join()).toMatch(/capture-\d finds no place/)
      return
    }
    expect(result.rmsPx).toBeLessThan(RIGHT[kind].rmsPx)
    expect(result.p95Px).toBeLessThan(RIGHT[kind].p95Px)
  })
})
