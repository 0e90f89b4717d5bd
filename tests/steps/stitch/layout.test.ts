import { describe, expect, it } from 'vitest'
import { drawLayout, magnification } from '../../../src/steps/stitch/layout/drawLayout.js'
import { residualVectors } from '../../../src/steps/stitch/layout/residualVectors.js'
import { rigid } from '../../../src/steps/stitch/Placement.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'

const capture = (x: number): StitchReading['captures'][number] => ({
  ...{ label: `at ${x}`, width: 400, height: 320, turned: 0 },
  placed: { toSheet: [1, 0, x, 0, 1, 0, 0, 0], rotationDeg: 0, gain: [1, 1, 1] },
})

/** Two captures side by side on a sheet that is drawn at its own size. */
const READING: StitchReading = {
  ...{ width: 640, height: 320, captures: [capture(0), capture(240)], pairs: [], fill: [1, 1, 1] },
  ...{ misplacementRmsPx: 0, windows: 2, outliers: 1, overlapShare: 0.25, uncoveredShare: 0 },
  layers: [{ captures: [0, 1], seams: { cellPx: 320, width: 2, height: 1, runs: [0, 1, 1, 1] } }],
  vectors: [
    [300, 100, 0.05, 0, 1],
    [340, 200, 3, 0, 0],
  ],
  ...{ statements: [], warnings: [] },
}

describe('the layout’s picture', () => {
  const { width, height, rgb } = drawLayout(READING, READING.layers[0])
  const at = (x: number, y: number) => [...rgb.subarray(3 * (y * width + x), 3 * (y * width + x) + 3)]

  it('shows the seam, the outlines and each capture’s share', () => {
    expect([width, height]).toEqual([640, 320])
    expect(at(320, 50)).toEqual([0, 0, 0])
    expect(at(240, 50)).toEqual([90, 90, 90])
    expect(at(400, 250)).toEqual([90, 90, 90])
    expect(at(100, 50)).not.toEqual(at(500, 50))
  })

  it('shows residuals longer by a round number, and windows left out as crosses', () => {
    // 0.05 px to be about 14 px: 200 times.
    expect(magnification(READING)).toBe(200)
    const tone = at(305, 100)
    for (const x of [300, 304, 309]) expect(at(x, 100)).toEqual(tone)
    expect(at(313, 100)).not.toEqual(tone)
    const cross = at(342, 202)
    expect(cross).toEqual(at(338, 202))
    expect(cross).not.toEqual(tone)
  })
})

describe('residual vectors', () => {
  it('lead from where the first capture shows a window to where the second does', () => {
    const placements = [rigid(0, 100, 100), rigid(0, 300.25, 100)]
    const match = {
      ...{ first: 0, second: 1, information: [1, 0, 1] as [number, number, number] },
      a: [110, 5] as [number, number],
      b: [-90, 5] as [number, number],
    }
    const residual = { x: 0, y: 0, weight: 1, uniform: [1, 0, 1] as [number, number, number] }
    expect(residualVectors(placements, [match], [residual])).toEqual([[210, 105, 0.25, 0, 1]])
  })
})
