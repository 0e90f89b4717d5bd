import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { multiply3 } from '../../../src/colour/matrix3.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import { differenceVector } from '../../../src/steps/colour/fit/differenceVector.js'
import { RUNGS, type Triple } from '../../../src/steps/colour/fit/Fit.js'
import { type FitData, fitRung } from '../../../src/steps/colour/fit/fitRung.js'
import { leastSquares } from '../../../src/steps/colour/fit/leastSquares.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import { TRUE_2014 } from './drawChart.js'

const LABS = CHART24_2014.labD50.map((lab): Triple => [...lab])
const ALL = LABS.map((_, k) => k)

/** The device's matrix and its inverse, worked out by hand: rows sum to one, a green gain of 0.5. */
const DEVICE = [0.8, 0.15, 0.05, 0.1, 0.35, 0.05, 0, 0.2, 0.6]
const seen = (colour: Triple): Triple =>
  [0, 1, 2].map(
    (c) => DEVICE[3 * c] * colour[0] + DEVICE[3 * c + 1] * colour[1] + DEVICE[3 * c + 2] * colour[2],
  ) as Triple
const DATA: FitData = { measured: TRUE_2014.map(seen), labD50: LABS, used: ALL, anchor: 18 }

describe('fitRung', () => {
  it('recovers the inverse of a known device matrix in all nine entries', () => {
    const { coefficients } = fitRung('matrix', DATA)
    multiply3(coefficients, DEVICE).forEach((value, k) => {
      expect(value, `entry ${k}`).toBeCloseTo(k % 4 === 0 ? 1 : 0, 4)
    })
  })

  it.each(RUNGS)('%s meets the white patch exactly and keeps every dimmer grey of its kind grey', (rung) => {
    const noisy = DATA.measured.map(
      (colour, k): Triple => colour.map((v, c) => v * (1 + 0.03 * Math.sin(7 * k + 2 * c))) as Triple,
    )
    const fit = fitRung(rung, { ...DATA, measured: noisy })
    const white = corrected(fit, noisy[18])
    white.forEach((value, c) => {
      expect(value).toBeCloseTo(TRUE_2014[18][c], 10)
    })
    for (const share of [0.5, 0.1, 0.01, 2]) {
      const grey = corrected(fit, noisy[18].map((v) => v * share) as Triple)
      grey.forEach((value, c) => {
        expect(value / white[c]).toBeCloseTo(share, 10)
      })
    }
  })

  it('scales with the exposure at every rung', () => {
    const fits = RUNGS.map((rung) => fitRung(rung, DATA))
    const light = fc.double({ min: 0, max: 1.5, noNaN: true })
    fc.assert(
      fc.property(light, light, light, fc.double({ min: 0.01, max: 8, noNaN: true }), (r, g, b, gain) => {
        for (const fit of fits) {
          const once = corrected(fit, [r, g, b])
          corrected(fit, [r * gain, g * gain, b * gain]).forEach((value, c) => {
            expect(value).toBeCloseTo(once[c] * gain, 8)
          })
        }
      }),
      { seed: 11, numRuns: 60 },
    )
  })
})

describe('chooseFit', () => {
  it('takes the matrix where a matrix is the truth, and gains where gains are', () => {
    expect(chooseFit('auto', DATA, 19).chosen.fit.rung).toBe('matrix')
    const gains = TRUE_2014.map(([r, g, b]): Triple => [0.4 * r, 0.7 * g, 0.5 * b])
    const wobbly = gains.map(
      (colour, k): Triple => colour.map((v, c) => v * (1 + 0.01 * Math.sin(5 * k + c))) as Triple,
    )
    expect(chooseFit('auto', { ...DATA, measured: wobbly }, 19).chosen.fit.rung).toBe('gains')
  })

  it('left-out errors are those of fits that never saw the patch', () => {
    // One patch is wrong by far: left out, its error shows in full, and nobody else's changes much.
    const measured = DATA.measured.map((colour, k): Triple => (k === 8 ? [0.2, 0.2, 0.2] : [...colour]))
    const { chosen } = chooseFit('matrix', { ...DATA, measured }, 19)
    expect(chosen.leftOut[8]).toBeGreaterThan(chosen.after[8])
    const without = fitRung('matrix', { ...DATA, measured, used: ALL.filter((k) => k !== 8) })
    multiply3(without.coefficients, DEVICE).forEach((value, k) => {
      expect(value).toBeCloseTo(k % 4 === 0 ? 1 : 0, 4)
    })
  })
})

describe('differenceVector', () => {
  it('has the length of CIEDE2000 for any two colours', () => {
    const lab = fc.tuple(
      fc.double({ min: 0, max: 100, noNaN: true }),
      fc.double({ min: -90, max: 90, noNaN: true }),
      fc.double({ min: -90, max: 90, noNaN: true }),
    )
    fc.assert(
      fc.property(lab, lab, (one, two) => {
        expect(Math.hypot(...differenceVector(one, two))).toBeCloseTo(deltaE2000(one, two), 6)
      }),
      { seed: 5, numRuns: 300 },
    )
    // Pairs 1, 13 and 25 of Sharma, Wu & Dalal 2005, doi:10.1002/col.20070, table 1.
    const pairs: [Triple, Triple, number][] = [
      [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
      [[50, -0.001, 2.49], [50, 0.0009, -2.49], 4.8045],
      [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
    ]
    for (const [one, two, wanted] of pairs) {
      expect(Math.hypot(...differenceVector(one, two))).toBeCloseTo(wanted, 4)
    }
  })
})

describe('leastSquares', () => {
  it("finds the minimum of Rosenbrock's valley", () => {
    // Rosenbrock 1960, doi:10.1093/comjnl/3.3.175: minimum 0 at (1, 1) from (-1.2, 1).
    const found = leastSquares(([x, y]) => Float64Array.of(10 * (y - x * x), 1 - x), [-1.2, 1], {
      rounds: 200,
      stepSize: 1e-7,
    })
    expect(found[0]).toBeCloseTo(1, 4)
    expect(found[1]).toBeCloseTo(1, 4)
  })
})
