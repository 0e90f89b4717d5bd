import { describe, expect, it } from 'vitest'
import { deltaE2000 } from '../../src/colour/deltaE2000.js'
import { CIEDE2000_PAIRS } from './ciede2000Pairs.js'

describe('CIEDE2000 of the published pairs (Sharma, Wu, Dalal 2005, table 1)', () => {
  it('are all 34', () => expect(CIEDE2000_PAIRS).toHaveLength(34))

  it.each(CIEDE2000_PAIRS.map((pair, i) => [i + 1, ...pair] as const))(
    'pair %i to the last printed digit, both ways round',
    (_pair, l1, a1, b1, l2, a2, b2, expected) => {
      expect(Math.abs(deltaE2000([l1, a1, b1], [l2, a2, b2]) - expected)).toBeLessThanOrEqual(0.5e-4)
      expect(Math.abs(deltaE2000([l2, a2, b2], [l1, a1, b1]) - expected)).toBeLessThanOrEqual(0.5e-4)
    },
  )
})
