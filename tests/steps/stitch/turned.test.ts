import { describe, expect, it } from 'vitest'
import type { SheetKind } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { WorkError } from '../../../src/errors.js'
import { asPlaneMap, inverted } from '../../../src/raster/warp/PlaneMap.js'
import { warpTile } from '../../../src/raster/warp/warpTile.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext, wholeTile } from '../../helpers/readContext.js'
import { captureField, type FieldCapture, paintedField } from './paintedField.js'
import { paintedPair } from './paintedPair.js'

const params = stitch.params.parse({})

describe('tiles and their turned partners', () => {
  const field = paintedField(11, 0.5)
  const tile = (x: number, turned: 0 | 180, seed: number): FieldCapture => ({
    ...{
      width: 320,
      height: 240,
      x: x + 0.3 * seed,
      y: 0.7 * seed,
      rotationDeg: 0.3 - 0.2 * seed,
      turned,
      seed,
    },
    ...{ relief: 0.12, noise: 0.002 },
  })
  const [left, right] = [tile(-110, 0, 1), tile(110, 0, 2)]
  const [leftAgain, rightAgain] = [tile(-104, 180, 3), tile(113, 180, 4)]
  const stitched = async (requests: FieldCapture[]) => {
    const sources = requests.map((request) => captureField(field, request))
    const captures = requests.map(({ turned = 0 }) => ({ turned }))
    const reading = await stitch.read(sources, params, readContext(sources, { captures }))
    return { reading, sources, sheet: stitch.apply(sources, reading, params)[0] }
  }
  /** Mean square error of log light in a part of the left tile, as it is seen there; the mean apart. */
  const errorOf = (
    { reading, sources }: Awaited<ReturnType<typeof stitched>>,
    how: StitchReading,
    x: number,
  ) => {
    const rect = { x, y: 30, width: 90, height: 180 }
    const sheet = stitch.apply(sources, how, params)[0]
    const seen = warpTile(sheet, reading.captures[0].placed!.toSheet, rect).planes[1]
    const truth = captureField(field, { ...left, relief: 0, noise: 0 }).region(rect).planes[1]
    const logs = seen.map((value, i) => Math.log(value / truth[i]))
    const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length
    return logs.reduce((sum, value) => sum + (value - mean) ** 2, 0) / logs.length
  }
  const gainedDb = (made: Awaited<ReturnType<typeof stitched>>, x: number) => {
    const alone = { ...made.reading, combining: undefined, layers: [made.reading.layers[0]] }
    return 10 * Math.log10(errorOf(made, made.reading, x) / errorOf(made, alone, x))
  }

  it('lose the relief where every tile has one, also where tiles meet', async () => {
    const made = await stitched([left, right, leftAgain, rightAgain])
    expect(made.reading.layers.map(({ captures }) => captures)).toEqual([
      [0, 1],
      [2, 3],
    ])
    expect(made.reading.combining!.opposedShare).toBeGreaterThan(0.9)
    expect(gainedDb(made, 30)).toBeLessThan(-18)
    // Where the two tiles overlap.
    expect(gainedDb(made, 225)).toBeLessThan(-18)
    const whole = wholeTile(made.sheet)
    const part = { x: 210, y: 60, width: 130, height: 70 }
    const alone = made.sheet.region(part)
    for (let j = 0; j < part.height; j++) {
      const from = (part.y + j) * made.sheet.width + part.x
      expect(alone.planes[1].subarray(j * part.width, (j + 1) * part.width)).toEqual(
        whole.planes[1].subarray(from, from + part.width),
      )
    }
  })

  it('lose it where one has one, keep it where none does, and that is said', async () => {
    const made = await stitched([left, right, leftAgain])
    expect(made.reading.layers.map(({ captures }) => captures)).toEqual([[0, 1], [2]])
    expect(gainedDb(made, 30)).toBeLessThan(-18)
    const { opposedShare } = made.reading.combining!
    expect(opposedShare).toBeGreaterThan(0.4)
    expect(opposedShare).toBeLessThan(0.75)
    expect(made.reading.warnings.join()).toContain('is combined from turned captures and the rest is not')
    // The right tile has no partner: it stays as it is.
    const { x, y } = { x: made.sheet.width - 80, y: 60 }
    const single = { ...made.reading, combining: undefined, layers: [made.reading.layers[0]] }
    const rect = { x, y, width: 60, height: 60 }
    expect(made.sheet.region(rect).planes).toEqual(
      stitch.apply(made.sources, single, params)[0].region(rect).planes,
    )
  })
})

describe('a turned capture of another sheet', () => {
  it('is refused by name, whether it is one of two or one of three', async () => {
    const [own, other] = [paintedField(11, 0.5), paintedField(77, 0.5)]
    const first: FieldCapture = {
      ...{ width: 320, height: 240, x: 0, y: 0, rotationDeg: 0.4, relief: 0.12, noise: 0.002, seed: 1 },
    }
    const turned = { ...first, x: 5.2, y: 3.1, turned: 180 as const, seed: 2 }
    const problemsOf = async (sources: ReturnType<typeof captureField>[], ways: (0 | 180)[]) => {
      const captures = ways.map((way) => ({ turned: way }))
      const error = await stitch.read(sources, params, readContext(sources, { captures })).then(
        () => undefined,
        (thrown) => thrown,
      )
      expect(error).toBeInstanceOf(WorkError)
      return (error as WorkError).problems.map(({ what }) => what).join()
    }
    const foreign = captureField(other, turned)
    const sheet = captureField(own, first)
    expect(await problemsOf([sheet, foreign], [0, 180])).toMatch(/finds no place beside/)
    const partner = captureField(own, turned)
    const three = await problemsOf([sheet, partner, foreign], [0, 180, 180])
    expect(three).toMatch(/^capture-3 finds no place on the sheet$/)
  })
})

describe('a lamp that turned with the sheet', () => {
  it('is told, and costs the picture nothing', async () => {
    const field = paintedField(5, 0.5)
    const first: FieldCapture = {
      ...{ width: 320, height: 240, x: 0, y: 0, rotationDeg: 0.4, relief: 0.12, noise: 0.002, seed: 1 },
    }
    const sources = [first, { ...first, x: 4.4, y: -2.2, rotationDeg: -0.3, seed: 2 }].map((request) =>
      captureField(field, request),
    )
    // Said to have lain turned, and so it does on disk, but the light came from the sheet's own top again.
    const [upright, again] = sources
    const back = asPlaneMap(inverted([-1, 0, again.width - 1, 0, -1, again.height - 1]))
    const round = {
      ...{ width: again.width, height: again.height },
      region: (rect: Parameters<typeof again.region>[0]) => warpTile(again, back, rect),
    }
    const pair = [upright, round]
    const context = readContext(pair, { captures: [{ turned: 0 }, { turned: 180 }] })
    const reading = await stitch.read(pair, params, context)
    expect(reading.warnings.join()).toMatch(/did not flip .* did the lamp turn with the sheet\?/)
    expect(reading.combining!.reliefCorrelation).toBeGreaterThan(0.8)
    expect(reading.combining!.fine).toBeUndefined()
    // The mean of both, with half the noise and all of the relief.
    const rect = { x: 60, y: 60, width: 200, height: 120 }
    const seen = warpTile(stitch.apply(pair, reading, params)[0], reading.captures[0].placed!.toSheet, rect)
    const relief = captureField(field, { ...first, noise: 0 }).region(rect).planes[1]
    const off = seen.planes[1].map((value, i) => Math.log(value / relief[i]))
    const mean = off.reduce((sum, value) => sum + value, 0) / off.length
    const rms = Math.sqrt(off.reduce((sum, value) => sum + (value - mean) ** 2, 0) / off.length)
    expect(rms).toBeLessThan(0.012)
  })
})

describe('a painted sheet and its turned partner', () => {
  // All sheets and depths are in the bench (`npm run bench -- turned`), which asks the means.
  it.each<[SheetKind, number]>([
    ['tooth', 1],
    ['laid', 1.5],
    ['weave', 1],
  ])('give back the picture on %s at depth %f', async (sheet, depth) => {
    const painting = paint({ seed: 5, width: 900, height: 600, ppi: 300, sheet })
    const { joined, numbersOf } = await paintedPair(painting, depth)
    const { gainDb, blankDb, pencil, stroke, granulation, leakPercent } = numbersOf(joined)
    expect(gainDb).toBeGreaterThan(18)
    expect(blankDb).toBeLessThan(-24)
    expect(pencil).toBeGreaterThan(0.98)
    expect(stroke).toBeGreaterThan(0.99)
    expect(granulation).toBeGreaterThan(0.97)
    expect(leakPercent).toBeLessThan(2)
  })
})
