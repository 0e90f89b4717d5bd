import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { IDENTITY3, multiply3 } from '../../../src/colour/matrix3.js'
import type { ChartColours } from '../../../src/steps/colour/fit/ChartColours.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import { differenceVector } from '../../../src/steps/colour/fit/differenceVector.js'
import { type Fit, RUNGS, type Rung, type Triple } from '../../../src/steps/colour/fit/Fit.js'
import { fitRung } from '../../../src/steps/colour/fit/fitRung.js'
import { fitTone } from '../../../src/steps/colour/fit/fitTone.js'
import { leastSquares } from '../../../src/steps/colour/fit/leastSquares.js'
import { straighten } from '../../../src/steps/colour/fit/straighten.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import { leastSlope, toLight } from '../../../src/steps/colour/fit/toLight.js'
import { chartColours } from './chartColours.js'
import { TRUE_2014 } from './drawChart.js'

const LABS = CHART24_2014.labD50.map((lab): Triple => [...lab])
const ALL = LABS.map((_, k) => k)

/** The device's matrix and its inverse, worked out by hand: rows sum to one, a green gain of 0.5. */
const DEVICE = [0.8, 0.15, 0.05, 0.1, 0.35, 0.05, 0, 0.2, 0.6]
const seen = (colour: Triple): Triple =>
  [0, 1, 2].map(
    (c) => DEVICE[3 * c] * colour[0] + DEVICE[3 * c + 1] * colour[1] + DEVICE[3 * c + 2] * colour[2],
  ) as Triple
const DATA = chartColours(TRUE_2014.map(seen), LABS)

/** A rung fitted to a chart whose numbers are light. */
const fitted = (rung: Rung, chart: ChartColours): Fit =>
  fitRung(rung, chart, straighten(chart, 'straight', chart.used), chart.used)

/** The whole correction of a matrix fit, from colour as captured to corrected. */
const whole = ({ coefficients, channels }: Fit) => multiply3(coefficients, channels)

/** The rungs that meet the white patch. */
const MEETING = RUNGS.filter((rung) => rung !== 'none')

describe('fitRung', () => {
  it('recovers the inverse of a known device matrix in all nine entries', () => {
    multiply3(whole(fitted('matrix', DATA)), DEVICE).forEach((value, k) => {
      expect(value, `entry ${k}`).toBeCloseTo(k % 4 === 0 ? 1 : 0, 4)
    })
  })

  it('changes nothing at the rung of that name', () => {
    whole(fitted('none', DATA)).forEach((value, k) => {
      expect(value).toBeCloseTo(IDENTITY3[k], 12)
    })
  })

  it.each(MEETING)(
    '%s meets the white patch exactly and keeps every dimmer grey of its kind grey',
    (rung) => {
      const noisy = DATA.linear.map(
        (colour, k): Triple => colour.map((v, c) => v * (1 + 0.03 * Math.sin(7 * k + 2 * c))) as Triple,
      )
      const fit = fitted(rung, { ...DATA, linear: noisy })
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
    },
  )

  it('scales with the exposure at every rung', () => {
    const fits = RUNGS.map((rung) => fitted(rung, DATA))
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
    expect(chooseFit('auto', DATA).chosen.fit.rung).toBe('matrix')
    const gains = TRUE_2014.map(([r, g, b]): Triple => [0.4 * r, 0.7 * g, 0.5 * b])
    const wobbly = gains.map(
      (colour, k): Triple => colour.map((v, c) => v * (1 + 0.01 * Math.sin(5 * k + c))) as Triple,
    )
    expect(chooseFit('auto', { ...DATA, linear: wobbly }).chosen.fit.rung).toBe('gains')
  })

  it('left-out errors are those of fits that never saw the patch', () => {
    // One patch is wrong by far: left out, its error shows in full, and nobody else's changes much.
    const linear = DATA.linear.map((colour, k): Triple => (k === 8 ? [0.2, 0.2, 0.2] : [...colour]))
    const { chosen } = chooseFit('matrix', { ...DATA, linear })
    expect(chosen.leftOut[8]).toBeGreaterThan(chosen.after[8])
    const without = fitted('matrix', { ...DATA, linear, used: ALL.filter((k) => k !== 8) })
    multiply3(whole(without), DEVICE).forEach((value, k) => {
      expect(value).toBeCloseTo(k % 4 === 0 ? 1 : 0, 4)
    })
  })
})

describe('doing nothing', () => {
  it('is what a capture gets that is right already, or that no fit betters on patches it has not seen', () => {
    const right = chooseFit('auto', chartColours(TRUE_2014, LABS))
    expect(right.chosen.fit.rung).toBe('none')
    // Errors without any order: whatever a fit gains on the patches it sees it loses on the others.
    const wrong = TRUE_2014.map(
      (colour, k): Triple => colour.map((v, c) => v * (1 + 0.1 * Math.sin(97 * k * k + 31 * c))) as Triple,
    )
    const { chosen, tried } = chooseFit('auto', chartColours(wrong, LABS))
    expect(mean(chosen.leftOut)).toBeLessThanOrEqual(mean(tried[0].leftOut))
  })
})

describe('linear light', () => {
  it('straightens a bent capture: the matrix is recovered behind a curve and behind stray light', () => {
    const curve = (share: number) => toLight(share, { flare: 0, bend: [0.1, 0.3] })
    // The bent channels by bisection: the curve rises.
    const bentOf = (light: number) => {
      let [low, high] = [0, 2]
      for (let i = 0; i < 60; i++) {
        const middle = (low + high) / 2
        if (curve(middle) < light) low = middle
        else high = middle
      }
      return low
    }
    const bent = DATA.linear.map((colour): Triple => colour.map(bentOf) as Triple)
    const behindCurve = chooseFit('auto', { ...DATA, linear: bent })
    expect(behindCurve.tone).toBe('curve')
    expect(mean(behindCurve.chosen.leftOut)).toBeLessThan(0.6)
    const stray = DATA.linear.map((colour): Triple => colour.map((v) => v + 0.012) as Triple)
    const behindFlare = chooseFit('auto', { ...DATA, linear: stray })
    expect(behindFlare.tone).toBe('flare')
    expect(mean(behindFlare.chosen.leftOut)).toBeLessThan(0.15)
    DATA.linear[18].forEach((white, c) => {
      expect(behindFlare.chosen.fit.tone[c].flare * (white + 0.012)).toBeCloseTo(0.012, 3)
    })
  })

  it('keeps every curve rising, black and white in place, whatever the greys say', () => {
    const share = fc.double({ min: 0.005, max: 1, noNaN: true })
    fc.assert(
      fc.property(fc.array(share, { minLength: 5, maxLength: 5 }), (wanted) => {
        const tone = fitTone('curve', [1, 0.6, 0.35, 0.18, 0.08, 0.03], [1, ...wanted])
        expect(leastSlope(tone.bend)).toBeGreaterThan(0)
        expect(toLight(1, tone)).toBeCloseTo(1, 12)
        expect(toLight(0, tone)).toBe(0)
        let last = -1
        for (let x = -0.2; x < 1.5; x += 0.01) {
          const light = toLight(x, tone)
          expect(light).toBeGreaterThan(last)
          last = light
        }
      }),
      { seed: 3, numRuns: 40 },
    )
  })

  it('evens out light that bulges over the chart', () => {
    const lit = DATA.linear.map((colour, k): Triple => {
      const { u, v } = DATA.places[k]
      return colour.map((value) => value * Math.exp(0.03 * u - 0.03 * u * u - 0.02 * v * v)) as Triple
    })
    const slopes = DATA.places.map(({ u, v }): [number, number] => [0.03 - 0.06 * u, -0.04 * v])
    const { light, evened } = straighten({ ...DATA, linear: lit, slopes }, 'straight', ALL)
    ;[0.03, 0, -0.03, 0, -0.02].forEach((wanted, k) => {
      expect(light[k]).toBeCloseTo(wanted, 4)
    })
    evened.forEach((colour, k) => {
      colour.forEach((value, c) => {
        expect(value).toBeCloseTo(DATA.linear[k][c], 3)
      })
    })
  })
})

describe('beyond the chart', () => {
  it.each(MEETING)('%s: along rays from white to full colour nothing jumps or turns back', (rung) => {
    const fit = fitted(rung, DATA)
    const [white] = DATA.greys.map((k) => DATA.linear[k])
    // Rays to the corners of the device's own cube, far outside the 24 patches.
    for (let corner = 1; corner < 7; corner++) {
      const full = white.map((v, c) => v * ((corner >> c) & 1)) as Triple
      let before: Triple | undefined
      let stepBefore = 0
      for (let t = 0; t <= 1; t += 0.02) {
        const at = corrected(fit, white.map((v, c) => (1 - t) * v + t * full[c]) as Triple)
        if (before) {
          const step = Math.hypot(...at.map((v, c) => v - before![c]))
          // A root rises steeply at the very edge of the cube; up to there each step is like the one before.
          if (stepBefore > 0 && t < 0.97) expect(step).toBeLessThan(1.6 * stepBefore + 1e-3)
          const away = (v: Readonly<Triple>) => Math.hypot(...v.map((x, c) => x - TRUE_2014[18][c]))
          expect(away(at)).toBeGreaterThan(away(before) - 1e-6)
          stepBefore = step
        }
        before = at
      }
    }
  })
})

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

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
