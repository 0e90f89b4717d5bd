import { describe, expect, it } from 'vitest'
import { IT8 } from '../../../src/colour/charts/it8.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { IDENTITY3 } from '../../../src/colour/matrix3.js'
import type { ChartColours } from '../../../src/steps/colour/fit/ChartColours.js'
import { chooseFit } from '../../../src/steps/colour/fit/chooseFit.js'
import type { Triple } from '../../../src/steps/colour/fit/Fit.js'
import { labOfWorking, workingOfLab } from '../../../src/steps/colour/fit/labOfWorking.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import { targetColours } from './drawTarget.js'

/** A device whose error lies in one region of colours each: no matrix and no few roots undo it. */
function device([r, g, b]: Triple): Triple {
  const sum = Math.max(1e-9, r + g + b)
  const [x, y] = [Math.max(0, r) / sum, Math.max(0, g) / sum]
  const bell = (u: number, v: number) => 0.15 * Math.exp(-((x - u) ** 2 + (y - v) ** 2) / (2 * 0.075 ** 2))
  const bump = bell(0.25, 0.25) - bell(0.5, 0.3)
  const [p, q] = [r * (1 + bump), g * (1 - 0.5 * bump)]
  return [0.6 * p + 0.1 * q, 0.05 * p + 0.5 * q + 0.1 * b, 0.1 * q + 0.6 * b]
}

const chartOf = (labD50: Triple[]): ChartColours => ({
  linear: labD50.map((lab) => device(workingOfLab(lab))),
  slopes: labD50.map(() => [0, 0]),
  places: IT8.patches.map(({ at: [column, row] }) => ({ u: column - 10.5, v: row - 5.5 })),
  labD50,
  used: labD50.map((_, k) => k),
  greys: IT8.greys,
  deviceToWorking: IDENTITY3,
})

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

describe('the smooth field of a chart of many patches', () => {
  const { chosen, tried } = chooseFit('auto', chartOf(targetColours(1)))
  const others = targetColours(8)

  it('is taken where it helps, and helps on colours it has not seen as much as it says', () => {
    expect(chosen.fit.rung).toBe('smooth')
    const errorOf = ({ fit }: typeof chosen) =>
      mean(others.map((lab) => deltaE2000(labOfWorking(corrected(fit, device(workingOfLab(lab)))), [...lab])))
    const polynomial = tried.find(({ fit }) => fit.rung === 'root-polynomial-3')!
    expect(errorOf(chosen)).toBeLessThan(0.6 * errorOf(polynomial))
    const stated = mean(chosen.leftOut) / errorOf(chosen)
    expect(stated).toBeGreaterThan(0.7)
    expect(stated).toBeLessThan(1.3)
  })

  it('lets neutrals be neutral and scales with the exposure', () => {
    const white = device([0.8, 0.8, 0.8])
    const one = corrected(chosen.fit, white)
    for (const share of [0.02, 0.3, 1.5]) {
      const dim = corrected(chosen.fit, white.map((v) => v * share) as Triple)
      dim.forEach((value, c) => {
        expect(value).toBeCloseTo(one[c] * share, 9)
      })
      const [, a, b] = labOfWorking(dim)
      expect(Math.hypot(a, b)).toBeLessThan(0.4)
    }
    const paint = corrected(chosen.fit, [0.3, 0.1, 0.2])
    corrected(chosen.fit, [0.03, 0.01, 0.02]).forEach((value, c) => {
      expect(value).toBeCloseTo(paint[c] / 10, 9)
    })
  })

  it('is smooth along rays: no step is unlike its neighbours', () => {
    for (let corner = 1; corner < 7; corner++) {
      const full = [corner & 1, (corner >> 1) & 1, corner >> 2]
      const at = Array.from({ length: 60 }, (_, i) =>
        corrected(chosen.fit, full.map((v) => 0.6 * (1 - i / 62) + (0.6 * v * i) / 62) as Triple),
      )
      const steps = at.slice(1).map((colour, i) => Math.hypot(...colour.map((v, c) => v - at[i][c])))
      steps.slice(1, 55).forEach((step, i) => {
        expect(step).toBeLessThan(1.5 * steps[i] + 2e-3)
      })
    }
  })
})
