import { describe, expect, it } from 'vitest'
import { emptyTile } from '../../../src/raster/Tile.js'
import { anchorLight } from '../../../src/steps/stitch/light/anchorLight.js'
import { FLAT, fieldFactor, fieldTerms, type LightField } from '../../../src/steps/stitch/light/LightField.js'
import { fieldOnSheet, levelOut } from '../../../src/steps/stitch/light/levelOut.js'
import { type LightMatch, measureLight } from '../../../src/steps/stitch/light/measureLight.js'
import { solveFrames, solveLight } from '../../../src/steps/stitch/light/solveLight.js'
import { STILL } from '../../../src/steps/stitch/Placement.js'
import type { View } from '../../../src/steps/stitch/views/View.js'

/** Captures of one device in a row, each sharing `shared` of its width with the next. */
function rowOf(gains: readonly number[], field: LightField, shared: number): LightMatch[] {
  const matches: LightMatch[] = []
  const value = (terms: LightField) => terms.reduce((sum, term, k) => sum + term * field[k], 0)
  for (let first = 0; first + 1 < gains.length; first++) {
    for (let k = 0; k < 60; k++) {
      const [s, t] = [((k % 6) + 0.5) / 6, (Math.floor(k / 6) + 0.5) / 10]
      const a = fieldTerms(1 - 2 * shared * (1 - s), 2 * t - 1)
      const b = fieldTerms(-1 + 2 * shared * s, 2 * t - 1)
      // What corrects is the opposite of what the captures have.
      const log = Math.log(gains[first]) + value(a) - Math.log(gains[first + 1]) - value(b)
      // A few parts show something else: a shadow, a hand.
      matches.push({
        first,
        second: first + 1,
        a,
        b,
        logs: [0, 1, 2].map(() => log + (k % 10 ? 0 : 0.2)) as never,
      })
    }
  }
  return matches
}

describe('light over all captures', () => {
  const gains = [1.03, 0.97, 1.01, 0.98, 1.02, 0.99]
  const field: LightField = [0, 0.01, 0.03, 0, 0.03]

  it('finds the gains and the bow that all captures share, and no drift across a row', () => {
    const corrections = solveLight(6, rowOf(gains, field, 0.15))
    const middle = gains.reduce((sum, gain) => sum + Math.log(gain), 0) / gains.length
    for (const [i, { gain, field: found }] of corrections.entries()) {
      expect(Math.abs(Math.log(gain[1] / gains[i]) + middle)).toBeLessThan(0.006)
      expect(Math.abs(found[2] - field[2])).toBeLessThan(0.004)
    }
    const mean = corrections.reduce((sum, { gain }) => sum + Math.log(gain[0]), 0)
    expect(Math.abs(mean)).toBeLessThan(1e-9)
  })

  it('finds what a lens loses towards its frames’ corners, which it cannot gain', () => {
    const frame = { width: 3, height: 2 }
    const lens = (corner: number): LightField => [0, 0, (corner * 9) / 13, 0, (corner * 4) / 13]
    const frames = gains.slice(0, 4)
    const { corrections, lens: found } = solveFrames(4, rowOf(frames, lens(0.16), 0.3), frame)
    expect(found[2] + found[4]).toBeCloseTo(0.16, 2)
    expect(found[2] / found[4]).toBeCloseTo(9 / 4, 9)
    for (const { field: own } of corrections) {
      for (const [k, value] of own.entries()) expect(Math.abs(value - found[k])).toBeLessThan(0.004)
    }
    expect(solveFrames(4, rowOf(frames, lens(-0.1), 0.3), frame).lens).toEqual(FLAT)
  })

  it('leaves captures as they are that share nothing, and fields flat that nothing asks for', () => {
    expect(solveLight(2, [])).toEqual([
      { gain: [1, 1, 1], field: FLAT },
      { gain: [1, 1, 1], field: FLAT },
    ])
    for (const { field: found } of solveLight(6, rowOf(gains, FLAT, 0.15))) {
      for (const value of found) expect(Math.abs(value)).toBeLessThan(0.004)
    }
  })
})

describe('a field on the sheet', () => {
  it('is the field of the capture whose pixels land there', () => {
    const field: LightField = [0.02, -0.03, 0.04, 0.01, -0.02]
    const size = { width: 40, height: 30 }
    // Turned by 30 degrees and shifted.
    const [c, s] = [Math.cos(0.5), Math.sin(0.5)]
    const onSheet = fieldOnSheet(field, [c, -s, 5, s, c, 2, 0, 0], size)!
    const tile = emptyTile({ x: 3, y: 1, width: 20, height: 10 })
    for (const plane of tile.planes) plane.fill(1)
    levelOut(tile, onSheet)
    for (const [x, y] of [
      [3, 1],
      [22, 10],
      [10, 4],
    ]) {
      const [px, py] = [c * x - s * y + 5, s * x + c * y + 2]
      const terms = fieldTerms((2 * (px + 0.5)) / size.width - 1, (2 * (py + 0.5)) / size.height - 1)
      const log = terms.reduce((sum, term, k) => sum + term * field[k], 0)
      expect(tile.planes[1][(y - 1) * 20 + x - 3]).toBeCloseTo(fieldFactor(log), 6)
      expect(fieldFactor(log)).toBeCloseTo(Math.exp(log), 4)
    }
    expect(fieldOnSheet(FLAT, [1, 0, 0, 0, 1, 0, 0, 0], size)).toBeUndefined()
  })
})

describe('light where a weave flips between two captures', () => {
  it('is not taken for falloff, however its period and the points compared would beat', () => {
    const [width, height] = [1050, 700]
    const view = (sign: number): View => {
      const plane = Float32Array.from(
        { length: width * height },
        (_, i) => 0.5 * (1 + sign * 0.1 * Math.sin((2 * Math.PI * (i % width)) / 6.03)),
      )
      return {
        upright: { label: 'a', turned: 0, width, height, scale: 1 },
        light: { width, height, cell: 1, planes: [plane, plane, plane] },
        levels: [],
      }
    }
    const pairs = [{ first: 0, second: 1 }]
    const corrections = solveLight(2, measureLight([view(1), view(-1)], [STILL, STILL], pairs))
    for (const { field } of corrections) {
      for (const value of field) expect(Math.abs(value)).toBeLessThan(0.004)
    }
  })
})

describe('white', () => {
  const view = (light: number): View => {
    const plane = () => new Float32Array(100).fill(light)
    return {
      upright: { label: 'a', turned: 0, width: 10, height: 10, scale: 1 },
      light: { width: 10, height: 10, cell: 1, planes: [plane(), plane(), plane()] },
      levels: [],
    }
  }
  const corrections = [1.05, 0.95].map((gain) => ({
    gain: [gain, gain, gain] as [number, number, number],
    field: FLAT,
  }))

  it('is not passed by what was below it when captured: all light is lowered together', () => {
    const anchored = anchorLight([view(0.98), view(0.99)], [true, true], corrections)
    expect(anchored.factor).toBeCloseTo(1 / (0.98 * 1.05), 6)
    expect(anchored.corrections[0].gain[0] / anchored.corrections[1].gain[0]).toBeCloseTo(1.05 / 0.95, 9)
  })

  it('leaves the mean of the gains where nothing would pass it', () => {
    expect(anchorLight([view(0.9), view(0.9)], [true, true], corrections).factor).toBe(1)
  })
})
