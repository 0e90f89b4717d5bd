import { describe, expect, it } from 'vitest'
import { sharpnessFindings } from '../../../src/outputs/shared/sharpnessFindings.js'
import { solveSharpening } from '../../../src/outputs/sharpening/solveSharpening.js'

const chain = { effectivePpi: 300, ppi: 300, viewingMm: 300, inkSpreadMm: 0.03 }

function found(more: Partial<typeof chain>, target: number | null) {
  const made = { ...chain, ...more }
  const findings = sharpnessFindings(made, solveSharpening(made, target), target)
  const texts = findings.flatMap((finding) => (finding.kind === 'statement' ? [finding.text] : []))
  return { findings, text: texts.join('\n') }
}

describe('what is said of the sharpness', () => {
  it('names the limit, and how the output then looks beside the others', () => {
    expect(found({}, 0.9).text).not.toMatch(/looks (sharper|softer)/)
    expect(found({ effectivePpi: 40 }, 0.9).text).toMatch(
      /stopped at the overshoot limit of 10 %[\s\S]*looks softer than outputs that meet the target of 0\.9/,
    )
    expect(found({ viewingMm: 3000 }, 0.9).text).toMatch(
      /nothing is added[\s\S]*looks sharper than outputs that meet the target of 0\.9.*nothing is softened/,
    )
    expect(found({ viewingMm: 3000 }, null).text).toMatch(/switched off$/m)
  })

  it('draws an edge, before and after, from black to white with the stated overshoot', () => {
    const { findings } = found({ effectivePpi: 200 }, 0.9)
    const plot = findings.find((one) => one.kind === 'plot' && one.xLabel.includes('pixels'))
    if (plot?.kind !== 'plot') throw new Error('no plot of an edge')
    const [before, after] = plot.series.map(({ points }) => points)
    expect(before[0][1]).toBeCloseTo(0, 3)
    expect(before.at(-1)![1]).toBeCloseTo(1, 3)
    const middle = before.reduce((a, b) => (Math.abs(b[0]) < Math.abs(a[0]) ? b : a))
    expect(middle[1]).toBeCloseTo(0.5, 1)
    const overshoot = findings.find((one) => one.kind === 'number' && one.name === 'overshoot at edges')
    if (overshoot?.kind !== 'number') throw new Error('no overshoot')
    expect(Math.max(...after.map(([, v]) => v)) - 1).toBeCloseTo(overshoot.value / 100, 4)
  })

  it('states the modulation on paper, which the ink takes down', () => {
    const number = (name: string) => {
      const one = found({}, 0.9).findings.find((f) => f.kind === 'number' && f.name === name)
      return one?.kind === 'number' ? one.value : Number.NaN
    }
    expect(number('greatest modulation on paper')).toBeLessThanOrEqual(
      number('greatest modulation of the file'),
    )
    expect(number('greatest modulation on paper')).toBeGreaterThanOrEqual(1)
  })
})
