import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { holding, kernels } from '../../../src/raster/kernels/kernels.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { joinDivided } from '../../../src/steps/stitch/joinDivided.js'
import { levelHeld, levelOut, type SheetField } from '../../../src/steps/stitch/light/levelOut.js'
import {
  BLOCK_NUMBERS,
  blocksAcross,
  blocksDown,
  type CoarseLight,
} from '../../../src/steps/stitch/seams/CoarseLight.js'
import { cellShares, NARROW, wideSpread } from '../../../src/steps/stitch/seams/cellShares.js'
import { coarseSteps } from '../../../src/steps/stitch/seams/coarseSteps.js'
import { joinParts, type Picture } from '../../../src/steps/stitch/seams/joinParts.js'
import { partOf } from '../../../src/steps/stitch/seams/Part.js'
import { tileSource } from '../../helpers/readContext.js'

const random = seeded(31, 1)
const noise = (width: number, height: number): Tile => {
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (const plane of tile.planes) for (let i = 0; i < plane.length; i++) plane[i] = random.between(0, 1)
  return tile
}

describe('a divided region', () => {
  // Two captures of 420 px side by side with 100 px in common, a bare margin about them.
  const seams = { cellPx: 6, width: 126, height: 74, runs: [] }
  const labels = Int16Array.from({ length: 126 * 74 }, (_, at) => {
    const x = (at % 126) * 6
    return x < 6 ? -1 : x < 380 ? 0 : x < 744 ? 1 : -1
  })
  const toSheet = (x: number, turn: number): [number, number, number, number, number, number, 0, 0] => {
    const [c, s] = [Math.cos(turn), Math.sin(turn)]
    return [c, -s, x, s, c, 8, 0, 0]
  }
  const sources = [tileSource(noise(420, 430)), tileSource(noise(420, 430))]
  const placed = (x: number, turn: number, gain: number) => ({
    toSheet: toSheet(x, turn),
    rotationDeg: (turn * 180) / Math.PI,
    gain: [gain, 1.02, 0.97] as [number, number, number],
    field: [0.01, -0.02, 0.015, 0, 0.01] as [number, number, number, number, number],
  })
  const picture: Picture = {
    turned: 0,
    parts: [
      partOf(0, sources[0], placed(6.3, 0.004, 1.01), 6),
      partOf(1, sources[1], placed(326.7, -0.006, 0.98), 6),
    ],
    narrow: cellShares(labels, seams, NARROW),
    wide: cellShares(labels, seams, wideSpread(6)),
    coarse: coarseSteps(evenSteps(), seams),
  }

  /** The second is darker by steps of about 2 %, everywhere. */
  function evenSteps(): CoarseLight {
    const [cellPx, count] = [16, blocksAcross(seams, 16) * blocksDown(seams, 16)]
    const numbers = Int16Array.from({ length: count * BLOCK_NUMBERS }, () => random.between(150, 250))
    const steps = Buffer.from(numbers.buffer).toString('base64')
    return { cellPx, pairs: [{ first: 0, second: 1, blocks: [...Array(count).keys()], steps }] }
  }

  it.each([
    { x: 0, y: 0, width: 754, height: 442 },
    { x: 30, y: 50, width: 200, height: 77 },
    { x: 300, y: 101, width: 150, height: 2 },
  ])('has the bits of one that is not: $width x $height at $x, $y', (rect) => {
    const whole = joinParts(picture, [0.9, 0.88, 0.85], rect)
    expect(joinDivided(picture, [0.9, 0.88, 0.85], rect)).toEqual(whole)
  })
})

describe('a field evened out in kernel memory, with a gain', () => {
  const fields: [string, SheetField | undefined][] = [
    ['a polynomial', [0.01, 2e-4, -3e-4, 1e-6, -2e-6, 3e-6]],
    ['place by place', (x, y) => 1e-4 * x - 2e-6 * y * y],
    ['none', undefined],
  ]
  it.each(fields)('has the bits of plain TypeScript: %s', (_, field) => {
    for (const [width, height] of [
      [40, 9],
      [37, 5],
      [1, 3],
    ]) {
      const rect = { x: 17, y: 230, width, height }
      const { planes } = noise(width, height)
      const gain: [number, number, number] = [1.013, 0.977, 1]
      const bytes = planes[0].byteLength + 16
      const got = holding([bytes, bytes, bytes], (...at) => {
        const floats = new Float32Array(kernels().memory.buffer)
        for (const [c, plane] of planes.entries()) floats.set(plane, at[c] / 4)
        levelHeld([at[0], at[1], at[2]], rect, field, gain)
        return at.map((offset) => new Float32Array(kernels().memory.buffer, offset, width * height).slice())
      })
      if (field) levelOut({ rect, planes }, field)
      const want = planes.map((plane, c) => plane.map((value) => value * Math.fround(gain[c])))
      expect(got).toEqual(want)
    }
  })
})
