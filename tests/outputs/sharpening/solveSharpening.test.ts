import { describe, expect, it } from 'vitest'
import { TARGET_ACUTANCE } from '../../../src/outputs/shared/params.js'
import { acutance } from '../../../src/outputs/sharpening/acutance.js'
import {
  fileTransfer,
  filterTransfer,
  type PrintChain,
  pixelsPerDegreeInverse,
  printTransfer,
} from '../../../src/outputs/sharpening/printChain.js'
import { sharpened } from '../../../src/outputs/sharpening/sharpened.js'
import { solveSharpening } from '../../../src/outputs/sharpening/solveSharpening.js'
import { ENLARGING, REDUCING } from '../../../src/raster/resample/filters.js'
import { resized } from '../../../src/raster/resample/resized.js'
import { all, drawn, noise, whole } from '../../raster/resample/drawn.js'
import { edgeMaster, measureEdge } from './slantedEdge.js'

const card: PrintChain = { effectivePpi: 600, ppi: 300, viewingMm: 300, inkSpreadMm: 0.03 }

/** The file's edge, made for real: resampled and sharpened. */
function finishedEdge(chain: PrintChain, target: number | null) {
  const plan = solveSharpening(chain, target)
  const [width, height] = [240, 160]
  const factor = chain.effectivePpi / chain.ppi
  const master = edgeMaster(Math.round(width * factor), Math.round(height * factor), 0.2, 0.8)
  const picture = resized(master, whole(master), width, height)
  const source = plan.sharpening ? sharpened(picture, plan.sharpening) : picture
  return { plan, ...measureEdge(all(source).planes[1], width, height) }
}

describe('solveSharpening', () => {
  it('says of the filters what their transforms are', () => {
    // The integral of a filter, its zeros at whole sampling frequencies, and the cubic B-spline's own transform.
    for (const filter of [REDUCING, ENLARGING]) {
      expect(filterTransfer(filter, 0)).toBeCloseTo(1, 4)
      for (const f of [1, 2]) expect(filterTransfer(filter, f)).toBeCloseTo(0, 4)
    }
    const sinc = (x: number) => Math.sin(Math.PI * x) / (Math.PI * x)
    for (const f of [0.1, 0.3, 0.45]) {
      const lift = 1 + 2 * 0.1 - 2 * 0.1 * Math.cos(2 * Math.PI * 0.75 * f)
      expect(filterTransfer(REDUCING, f)).toBeCloseTo(sinc(f) ** 4 * lift, 4)
    }
  })

  it('predicts the acutance that is measured from a slanted edge in the finished pixels', () => {
    const chains: PrintChain[] = [
      card,
      { ...card, effectivePpi: 1200, ppi: 400 },
      { effectivePpi: 150, ppi: 300, viewingMm: 700, inkSpreadMm: 0.03 },
      { effectivePpi: 60, ppi: 240, viewingMm: 1100, inkSpreadMm: 0.03 },
      { effectivePpi: 420, ppi: 300, viewingMm: 545, inkSpreadMm: 0.03 },
    ]
    for (const chain of chains) {
      for (const target of [null, 0.9, TARGET_ACUTANCE]) {
        const { plan, transfer, profile } = finishedEdge(chain, target)
        const scale = pixelsPerDegreeInverse(chain)
        const measured = acutance((cpd) => {
          const f = cpd * scale
          return f > 0.5 ? 0 : transfer(f) * printTransfer(chain, f)
        })
        expect(Math.abs(measured / plan.acutanceAfter - 1)).toBeLessThan(0.03)
        if (target && plan.stoppedBy === 'target') expect(Math.abs(measured / target - 1)).toBeLessThan(0.03)
        const highest = Math.max(...profile.map(([, v]) => v))
        const lowest = Math.min(...profile.map(([, v]) => v))
        const [light, dark] = [(highest - 0.8) / 0.6, (0.2 - lowest) / 0.6]
        expect(light).toBeLessThan(0.1)
        // The dark side, where it shows more, gives less than the prediction, which is for faint edges; the light side more.
        expect(dark).toBeLessThan(plan.overshoot + 0.015)
        expect(light).toBeGreaterThan(plan.overshoot - 0.015)
      }
    }
  })

  it('takes the radius from the viewing distance: one minute of arc', () => {
    const at = (viewingMm: number) =>
      solveSharpening({ ...card, effectivePpi: 100, viewingMm }, 1).sharpening!.sigmaPx
    // 1000 mm tan(1/60 degree) = 0.2909 mm = 3.4356 px at 300 ppi.
    expect(at(1000)).toBeCloseTo(3.4356, 3)
    expect(at(600) / at(300)).toBeCloseTo(2, 6)
    expect(at(50)).toBe(0.6)
  })

  it('holds off the relief that the master still has', () => {
    const chain = { ...card, effectivePpi: 200 }
    const floor = (left?: number) => solveSharpening(chain, 0.95, left).sharpening!.noiseFloor!
    expect(floor()).toBe(0.005)
    expect(floor(0.01)).toBeCloseTo(0.02, 10)
    expect(floor(0.4)).toBe(0.05)
    // Tooth of 1 % RMS on grey paper, as the master has it.
    const tooth = drawn(120, 90, (x, y) => 0.6 * (1 + 0.01 * Math.sqrt(12) * (noise(x, y, 0) - 0.5)))
    const rms = (values: Float32Array) => {
      const mean = values.reduce((a, b) => a + b, 0) / values.length
      return Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length)
    }
    const grown = (left?: number) =>
      rms(all(sharpened(tooth, solveSharpening(chain, 0.95, left).sharpening!)).planes[1]) /
      rms(all(tooth).planes[1])
    expect(grown(0.01)).toBeLessThan(1.25)
    expect(grown()).toBeGreaterThan(1.4)
  })

  it('stops where it should, and says why', () => {
    expect(solveSharpening(card, 0.9)).toMatchObject({ stoppedBy: 'target' })
    expect(solveSharpening(card, 0.9).acutanceAfter).toBeCloseTo(0.9, 6)
    const limited = solveSharpening(card, 1)
    expect(limited.stoppedBy).toBe('overshoot limit')
    expect(limited.overshoot).toBeCloseTo(0.1, 6)
    expect(limited.acutanceAfter).toBeLessThan(1)
    const far = solveSharpening({ ...card, viewingMm: 900 }, 0.9)
    expect(far).toMatchObject({ stoppedBy: 'sharp enough', sharpening: null })
    expect(far.acutanceAfter).toBe(far.acutanceBefore)
    expect(solveSharpening(card, null)).toMatchObject({ stoppedBy: 'switched off', sharpening: null })
  })

  it('knows a copy of pixels from a resampling', () => {
    const copy = { ...card, effectivePpi: 300 }
    expect(fileTransfer(copy, 0.25)).toBeCloseTo(Math.sin(Math.PI / 4) / (Math.PI / 4), 9)
    expect(fileTransfer({ ...card, effectivePpi: 301 }, 0.25)).toBeLessThan(0.7)
    expect(fileTransfer(copy, 0.51)).toBe(0)
  })
})
