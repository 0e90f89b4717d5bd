import { describe, expect, it } from 'vitest'
import { emptyTile } from '../../../src/raster/Tile.js'
import { warpTile } from '../../../src/raster/warp/warpTile.js'
import { areaOf } from '../../../src/steps/stitch/combine/areaOf.js'
import { combineTiles } from '../../../src/steps/stitch/combine/combineTiles.js'
import { lightingWeights } from '../../../src/steps/stitch/combine/lightingWeights.js'
import { PLAIN } from '../../../src/steps/stitch/combine/ReliefModel.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext, wholeTile } from '../../helpers/readContext.js'
import { captureField, type FieldCapture, paintedField } from './paintedField.js'

const weights = (turned: number[], reach: number[]) => {
  const out = turned.map(() => 0)
  lightingWeights(turned, reach, out)
  return out
}

describe('lightings at one place', () => {
  it('count alike where they are opposite', () => {
    expect(weights([0, 180], [1, 1])).toEqual([0.5, 0.5])
    expect(weights([0, 90, 180, 270], [1, 1, 1, 1])).toEqual([0.25, 0.25, 0.25, 0.25])
    // 90 has no opposite: it would leave its relief.
    expect(weights([0, 90, 180], [1, 1, 1])).toEqual([0.5, 0, 0.5])
    expect(weights([0, 90], [1, 1])).toEqual([0.5, 0.5])
  })

  it('come in without a step from the border of what they cover', () => {
    let before = weights([0, 90, 180], [1, 1, 0])
    expect(weights([0, 180], [1, 0])).toEqual([1, 0])
    for (let reach = 0.01; reach < 1.005; reach += 0.01) {
      const now = weights([0, 90, 180], [1, 1, reach])
      for (let k = 0; k < 3; k++) expect(Math.abs(now[k] - before[k])).toBeLessThan(0.02)
      expect(now[0] + now[1] + now[2]).toBeCloseTo(1, 12)
      before = now
    }
  })
})

describe('combined light', () => {
  const rect = { x: 0, y: 0, width: 1, height: 1 }
  const lit = (turned: number, value: number) => {
    const tile = emptyTile(areaOf(rect, PLAIN))
    for (const plane of tile.planes) plane.fill(value)
    return { turned, tile, reach: tile.planes[0].map(() => 1) }
  }
  const combined = (a: number, b: number) =>
    combineTiles([lit(0, a), lit(180, b)], rect, PLAIN, [0, 0, 0]).planes[0][0]

  it('is the mean, so that opposite slopes of shading cancel', () => {
    expect(combined(0.5 * 1.2, 0.5 * 0.8)).toBeCloseTo(0.5, 6)
  })

  it('is the unlit side’s where the lit side shines', () => {
    expect(combined(2.5, 0.5)).toBeCloseTo(0.5, 6)
    expect(combined(0.5, 2.5)).toBeCloseTo(0.5, 6)
    expect(combined(0.5 * 2.3, 0.5)).toBeLessThan((0.5 * 2.2 + 0.5) / 2 + 1e-6)
  })
})

describe('a sheet and its turned partner', () => {
  const field = paintedField(11, 0.5)
  const first: FieldCapture = {
    ...{ width: 320, height: 240, x: 0, y: 0, rotationDeg: 0.4, relief: 0.12, noise: 0.002, seed: 1 },
  }
  const second: FieldCapture = { ...first, x: 6.3, y: -4.6, rotationDeg: -0.7, turned: 180, seed: 2 }
  const sources = [first, second].map((request) => captureField(field, request))
  const captures = [{ turned: 0 as const }, { turned: 180 as const }]
  const readAs = async (params: object) => {
    const reading = await stitch.read(
      sources,
      stitch.params.parse(params),
      readContext(sources, { captures }),
    )
    return JSON.parse(JSON.stringify(reading)) as StitchReading
  }
  const reading = readAs({})
  const apply = (how: StitchReading) => stitch.apply(sources, how, stitch.params.parse({}))[0]

  /** Mean square error of log light against the field, on the first capture's grid, well inside. */
  function errorOf(how: StitchReading): number {
    const toSheet = how.captures[0].placed!.toSheet
    const rect = { x: 30, y: 30, width: 260, height: 180 }
    const seen = warpTile(apply(how), toSheet, rect)
    const truth = captureField(field, { ...first, relief: 0, noise: 0 }).region(rect)
    const logs = seen.planes[1].map((value, i) => Math.log(value / truth.planes[1][i]))
    const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length
    return logs.reduce((sum, value) => sum + (value - mean) ** 2, 0) / logs.length
  }

  it('lose the relief together, and that is said', async () => {
    const how = await reading
    expect(how.layers.map(({ turned }) => turned)).toEqual([0, 180])
    const alone = { ...how, combining: undefined, layers: [how.layers[0]] }
    const gained = 10 * Math.log10(errorOf(how) / errorOf(alone))
    // As the PSNR asked of turned pairs.
    expect(gained).toBeLessThan(-18)
    const { reliefDb, reliefCorrelation } = how.combining!
    // Noise and paint count as relief that stays: what is said is no more than what was gained.
    expect(reliefDb).toBeGreaterThan(gained)
    expect(reliefCorrelation).toBeLessThan(-0.9)
    const numbers = stitch.findings(how, stitch.params.parse({})).filter(({ kind }) => kind === 'number')
    expect(numbers).toContainEqual(expect.objectContaining({ name: 'relief left by combining', unit: 'dB' }))
    expect(how.warnings).toEqual([])
  })

  it('say what is asked of blank paper where a capture has no noise to hide it', async () => {
    const quiet = [first, second].map((request) => captureField(field, { ...request, noise: 0 }))
    const how = await stitch.read(quiet, stitch.params.parse({}), readContext(quiet, { captures }))
    expect(how.combining!.reliefDb).toBeLessThan(-24)
    expect(how.combining!.reliefCorrelation).toBeLessThan(-0.97)
  })

  it('have the same bits in a tile asked alone as in the whole, also where only one of them reaches', async () => {
    const sheet = apply(await reading)
    const whole = wholeTile(sheet)
    for (const rect of [
      { x: 0, y: 0, width: 30, height: 200 },
      { x: 100, y: 50, width: 64, height: 64 },
      { x: sheet.width - 50, y: sheet.height - 21, width: 50, height: 21 },
      { x: 150, y: 0, width: 1, height: sheet.height },
    ]) {
      const alone = sheet.region(rect)
      for (let c = 0; c < 3; c++) {
        const expected = new Float32Array(rect.width * rect.height)
        for (let j = 0; j < rect.height; j++) {
          const from = (rect.y + j) * sheet.width + rect.x
          expected.set(whole.planes[c].subarray(from, from + rect.width), j * rect.width)
        }
        expect(alone.planes[c]).toEqual(expected)
      }
    }
  })

  it('are left single where combining is not wanted', async () => {
    const how = await readAs({ combine: 'never' })
    expect(how.combining).toBeUndefined()
    expect(how.layers).toHaveLength(1)
    expect(how.statements.join()).toContain('combine: never')
  })
})

describe('a sheet captured all four ways round', () => {
  it('loses its relief, and more of its noise', async () => {
    const field = paintedField(11, 0.5)
    const turns = [0, 90, 180, 270] as const
    const [first, ...others] = turns.map(
      (turned, i): FieldCapture => ({
        ...{ width: 320, height: 240, x: 3 * i, y: -2 * i, rotationDeg: 0.3 * i, turned, seed: i + 1 },
        ...{ relief: 0.12, noise: 0.002 },
      }),
    )
    const sources = [first, ...others].map((request) => captureField(field, request))
    const context = readContext(sources, { captures: turns.map((turned) => ({ turned })) })
    const how = await stitch.read(sources, stitch.params.parse({}), context)
    expect(how.layers.map(({ turned }) => turned)).toEqual([...turns])
    const rect = { x: 40, y: 40, width: 240, height: 160 }
    const truth = captureField(field, { ...first, relief: 0, noise: 0 }).region(rect).planes[1]
    const errorOf = (reading: StitchReading) => {
      const sheet = stitch.apply(sources, reading, stitch.params.parse({}))[0]
      const seen = warpTile(sheet, how.captures[0].placed!.toSheet, rect).planes[1]
      const logs = seen.map((value, i) => Math.log(value / truth[i]))
      const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length
      return logs.reduce((sum, value) => sum + (value - mean) ** 2, 0) / logs.length
    }
    const alone = { ...how, combining: undefined, layers: [how.layers[0]] }
    expect(10 * Math.log10(errorOf(how) / errorOf(alone))).toBeLessThan(-18)
    // And no two of them do better.
    for (const first of [0, 90]) {
      const two = how.layers.filter(({ turned }) => turned === first || turned === first + 180)
      expect(errorOf(how)).toBeLessThan(errorOf({ ...how, layers: two }))
    }
    expect(how.warnings).toEqual([])
  })
})
