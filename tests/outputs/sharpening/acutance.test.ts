import { describe, expect, it } from 'vitest'
import { acutance, contrastSensitivity } from '../../../src/outputs/sharpening/acutance.js'
import { ACUTANCE_SAMPLES, CSF_SAMPLES } from '../../published/acutance.js'

describe('acutance', () => {
  it('weights by the contrast sensitivity of IEEE 1858', () => {
    for (const [cpd, sensitivity] of CSF_SAMPLES) {
      expect(Math.abs(contrastSensitivity(cpd) - sensitivity)).toBeLessThan(0.5e-6)
    }
    const peak = Array.from({ length: 600 }, (_, i) => i / 10).reduce((a, b) =>
      contrastSensitivity(b) > contrastSensitivity(a) ? b : a,
    )
    // The formula's peak is at c / b.
    expect(peak).toBeCloseTo(0.8 / 0.2, 9)
  })

  it('gives the values worked elsewhere', () => {
    for (const { mtf, acutance: expected } of ACUTANCE_SAMPLES) {
      // Half the last digit, and a midpoint rule's error at the foot of v^0.8.
      expect(Math.abs(acutance(mtf) - expected)).toBeLessThan(5e-5)
    }
  })
})
