import { describe, expect, it } from 'vitest'
import { estimateSeconds, type Work } from '../../src/engine/estimateSeconds.js'
import { STEPS } from '../../src/steps/registry.js'

const steps = (...names: string[]) => ({ steps: names.map((name) => ({ name, params: {} })) })
const work = (facts: Partial<Work> = {}): Work => ({
  ...{ captures: [{ megapixels: 70, raw: false }], master: 70, outputs: [18, 2] },
  ...{ report: true, threads: 2, ...facts },
})

describe('the estimate of check', () => {
  it('knows what every step costs', () => {
    for (const { name, effort } of STEPS.values()) expect(effort, name).toBeDefined()
  })

  it('counts every step, in its reading and in each megapixel', () => {
    for (const { name, effort } of STEPS.values()) {
      const cost = estimateSeconds(steps(name), work()) - estimateSeconds(steps(), work())
      expect(cost).toBeCloseTo(effort!.read + (effort!.readACapture ?? 0) + (70 * effort!.apply) / 2, 6)
    }
  })

  it('grows with pixels, captures, outputs and camera raw files, and shrinks with threads', () => {
    const usual = estimateSeconds(steps('stitch', 'paper-texture'), work())
    const other = (facts: Partial<Work>) => estimateSeconds(steps('stitch', 'paper-texture'), work(facts))
    expect(other({ master: 140 })).toBeGreaterThan(1.5 * usual)
    expect(other({ captures: new Array(4).fill({ megapixels: 20, raw: false }) })).toBeGreaterThan(usual + 2)
    // Developing took 83 ms a megapixel of processor time by the quickest way that is used.
    expect(other({ captures: [{ megapixels: 70, raw: true }] })).toBeGreaterThan(usual + 70 * 0.083)
    expect(other({ outputs: [18, 2, 18] })).toBeGreaterThan(usual)
    expect(other({ report: false })).toBeLessThan(usual)
    expect(other({ threads: 4 })).toBeLessThan(usual)
  })
})
