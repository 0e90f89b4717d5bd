import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { WorkError } from '../../../src/errors.js'
import type { Source } from '../../../src/raster/Source.js'
import { placements } from '../../../src/steps/stitch/placements.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext, tileSource, wholeTile } from '../../helpers/readContext.js'
import { read, smallTiles, sourceOf } from './cutUps.js'
import { misplacement, type PointMap, through } from './misplacement.js'
import { captureField, type FieldCapture, paintedField, truthMatrix } from './paintedField.js'

const PARAMS = stitch.params.parse({})

const apply = (sources: readonly Source[], reading: StitchReading) =>
  // Workers get the reading as JSON.
  stitch.apply(sources, JSON.parse(JSON.stringify(reading)) as StitchReading, PARAMS)[0]

describe('placing', () => {
  const layouts = [
    { columns: 2, rows: 2 },
    { columns: 3, rows: 1 },
    { columns: 1, rows: 2 },
  ]
  it.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])(
    'puts the tiles of layout %i within 0.3 px of the truth',
    async (seed) => {
      const random = seeded(seed, 99)
      const tiles = smallTiles({
        seed,
        ...layouts[seed % layouts.length],
        overlap: random.between(0.18, 0.35),
        rotationDeg: random.between(0, 3),
        turnedTiles: seed % 2 ? [seed % 2] : [],
        falloff: seed % 3 ? 0 : 0.05,
      })
      // In any order.
      const order = tiles.map((tile) => ({ tile, key: random.between(0, 1) })).sort((a, b) => a.key - b.key)
      const shuffled = order.map(({ tile }) => tile)
      const { sources, reading } = read(shuffled)
      const found = placements(await reading) as PointMap[]
      const truth = shuffled.map(({ toPainting }) => through(toPainting))
      expect(misplacement(found, truth, sources).rmsPx).toBeLessThan(0.3)
    },
  )

  it('places tiles turned by any quarter, whose relief flips', async () => {
    const field = paintedField(3)
    const captures = [0, 90, 180, 270].map(
      (turned, i): FieldCapture => ({
        ...{ width: 300, height: 240, x: (i % 2) * 225, y: Math.floor(i / 2) * 180 },
        ...{ rotationDeg: [0.7, -1.9, 2.4, -0.4][i], turned: turned as 0 | 90 | 180 | 270 },
        ...{ relief: 0.08, noise: 0.005, seed: i },
      }),
    )
    const sources = captures.map((capture) => captureField(field, capture))
    const context = readContext(sources, { captures: captures.map(({ turned }) => ({ turned })) })
    const reading = await stitch.read(sources, PARAMS, context)
    const truth = captures.map((capture) => through(truthMatrix(capture)))
    expect(misplacement(placements(reading) as PointMap[], truth, sources).rmsPx).toBeLessThan(0.3)
  })

  it('finds which tiles lay turned where that is not stated, and corrects a wrong statement', async () => {
    const tiles = smallTiles({ seed: 2, turnedTiles: [1, 2], columns: 3, rows: 1 })
    const sources = tiles.map(sourceOf)
    // Two of three lay turned: those are taken to lie as stated, and the first is the one turned.
    const captures = [{ turned: 0 }, { turned: 0 }, { turned: 0 }] as const
    const reading = await stitch.read(sources, PARAMS, readContext(sources, { captures }))
    expect(reading.captures.map(({ turned }) => turned)).toEqual([180, 0, 0])
    expect(reading.statements.join()).toContain('capture-1 lay turned by 180 degrees against the others')
    const truth = tiles.map(({ toPainting }) => through(toPainting))
    expect(misplacement(placements(reading) as PointMap[], truth, sources).rmsPx).toBeLessThan(0.3)

    const field = paintedField(3)
    const wrong = [0, 90, 0].map(
      (turned, i): FieldCapture => ({
        ...{ width: 300, height: 240, x: i * 210, y: 4 * i, rotationDeg: i, turned: turned as 0 | 90 },
        ...{ relief: 0.05, noise: 0.005, seed: i },
      }),
    )
    const lying = wrong.map((capture) => captureField(field, capture))
    const stated = [{ turned: 0 }, { turned: 270 }, { turned: 0 }] as const
    const corrected = await stitch.read(lying, PARAMS, readContext(lying, { captures: stated }))
    expect(corrected.captures.map(({ turned }) => turned)).toEqual([0, 90, 0])
    expect(corrected.warnings.join()).toContain('not by 270 as stated')
    const places = wrong.map((capture) => through(truthMatrix(capture)))
    expect(misplacement(placements(corrected) as PointMap[], places, lying).rmsPx).toBeLessThan(0.3)
  })

  it('finds scales that differ by up to 0.5 %', async () => {
    const tiles = smallTiles({ seed: 12, columns: 3, rows: 1, scaleSpread: 0.005 })
    const { sources, reading } = read(tiles)
    const found = placements(await reading) as PointMap[]
    const truth = tiles.map(({ toPainting }) => through(toPainting))
    const { rmsPx, p95Px } = misplacement(found, truth, sources, 'affine')
    expect(rmsPx).toBeLessThan(0.15)
    expect(p95Px).toBeLessThan(0.35)
  })

  it('goes over each capture once, and otherwise reads windows', async () => {
    const tiles = smallTiles({ seed: 3 })
    const passes = tiles.map(() => 0)
    const sources = tiles.map(sourceOf).map((source, i): Source => {
      const region: Source['region'] = (rect) => {
        if (rect.width === source.width) passes[i] += rect.height / source.height
        return source.region(rect)
      }
      return { ...source, region }
    })
    const context = readContext(sources, { captures: tiles.map(({ turned }) => ({ turned })), ppi: 300 })
    await stitch.read(sources, PARAMS, context)
    for (const count of passes) expect(count).toBeCloseTo(1, 6)
  })
})

describe('light', () => {
  it('brings captures of different exposure to one', async () => {
    const tiles = smallTiles({ seed: 4, gainSpread: 0.1 })
    const reading = await read(tiles).reading
    const left = reading.captures.map(({ placed }, i) => Math.log(placed!.gain[1] * tiles[i].gain))
    const mean = left.reduce((sum, value) => sum + value, 0) / left.length
    for (const value of left) expect(Math.abs(value - mean)).toBeLessThan(0.004)
  })
})

describe('the sheet', () => {
  it('has the same bits in a tile asked alone as in the whole', async () => {
    const { sources, reading } = read(smallTiles({ seed: 5, turnedTiles: [1] }))
    const sheet = apply(sources, await reading)
    const whole = wholeTile(sheet)
    const random = seeded(5, 5)
    for (let i = 0; i < 12; i++) {
      const width = Math.round(random.between(1, 300))
      const height = Math.round(random.between(1, 300))
      const rect = {
        x: Math.floor(random.between(0, sheet.width - width)),
        y: Math.floor(random.between(0, sheet.height - height)),
        width,
        height,
      }
      expect(sheet.region(rect).planes).toEqual(tileSource(whole).region(rect).planes)
    }
    expect(() => sheet.region({ x: -1, y: 0, width: 4, height: 4 })).toThrow(RangeError)
  })

  it('is filled with paper where no capture holds anything, and says how much that is', async () => {
    const tiles = smallTiles({ seed: 6, columns: 3, rows: 1, rotationDeg: 3 })
    const { sources, reading } = read(tiles)
    const result = await reading
    const sheet = apply(sources, result)
    const corner = sheet.region({ x: 0, y: 0, width: 1, height: 1 })
    expect(result.uncoveredShare).toBeGreaterThan(0)
    expect(corner.planes.map(([value]) => value)).toEqual(result.fill.map(Math.fround))
    const findings = stitch.findings(result, PARAMS)
    expect(findings).toContainEqual(expect.objectContaining({ kind: 'number', name: 'uncovered', unit: '%' }))
    expect(findings).toContainEqual(
      expect.objectContaining({ kind: 'number', name: 'misplacement rms', unit: 'px' }),
    )
  })

  it('joins exact cuts of one picture into that picture', async () => {
    const whole = wholeTile(
      captureField(paintedField(8), { width: 420, height: 300, x: 0, y: 0, rotationDeg: 0 }),
    )
    const source = tileSource(whole)
    const sources = [0, 180].map((x) => tileSource(source.region({ x, y: 0, width: 240, height: 300 })))
    const reading = await stitch.read(sources, PARAMS, readContext(sources))
    const [a, b] = reading.captures.map(({ placed }) => placed!.toSheet)
    // Placed to a thousandth of a pixel, and the same light.
    expect(b[2] - a[2]).toBeCloseTo(180, 2)
    expect(b[5] - a[5]).toBeCloseTo(0, 2)
    const exact: StitchReading = {
      ...reading,
      width: 420,
      height: 300,
      captures: reading.captures.map((capture, i) => ({
        ...capture,
        placed: { toSheet: [1, 0, 180 * i, 0, 1, 0, 0, 0], rotationDeg: 0, gain: [1, 1, 1] },
      })),
    }
    const sheet = wholeTile(apply(sources, exact))
    let worst = 0
    sheet.planes.forEach((plane, c) => {
      for (let i = 0; i < plane.length; i++) worst = Math.max(worst, Math.abs(plane[i] - whole.planes[c][i]))
    })
    // Where two captures are mixed, w a + (1 - w) a is rounded twice.
    expect(worst).toBeLessThan(2e-7)
  })
})

describe('one capture', () => {
  const source = captureField(paintedField(2), { width: 60, height: 40, x: 0, y: 0, rotationDeg: 0 })

  it('is left as it is, and that is said', async () => {
    const reading = await stitch.read([source], PARAMS, readContext([source]))
    expect(stitch.apply([source], reading, PARAMS)[0]).toBe(source)
    expect(reading.statements[0]).toContain('nothing to join')
  })

  it.each([90, 180, 270] as const)(
    'is turned back by %i degrees without a change of value',
    async (turned) => {
      const request = { width: 60, height: 40, x: 0, y: 0, rotationDeg: 0 }
      const upright = wholeTile(captureField(paintedField(2), request))
      const lying = captureField(paintedField(2), { ...request, turned })
      const reading = await stitch.read([lying], PARAMS, readContext([lying], { captures: [{ turned }] }))
      const sheet = apply([lying], reading)
      expect([sheet.width, sheet.height]).toEqual([60, 40])
      expect(wholeTile(sheet).planes).toEqual(upright.planes)
    },
  )
})

describe('what cannot be joined', () => {
  const far: FieldCapture = { width: 300, height: 220, x: 0, y: 0, rotationDeg: 0, noise: 0.004 }

  it('names the capture that finds no place, its best candidate and what to do', async () => {
    const field = paintedField(4)
    const sources = [far, { ...far, x: 220, seed: 2 }, { ...far, x: 2000, seed: 3 }].map((c) =>
      captureField(field, c),
    )
    const error: unknown = await stitch.read(sources, PARAMS, readContext(sources)).catch((e: unknown) => e)
    expect(error).toBeInstanceOf(WorkError)
    expect(String(error)).toContain('capture-3 finds no place')
    expect(String(error)).not.toContain('capture-1 finds no place')
    expect((error as WorkError).problems[0].todo).toContain('allow-missing')
  })

  it('refuses a capture of another picture', async () => {
    const sources = [
      captureField(paintedField(4), far),
      captureField(paintedField(4), { ...far, x: 200, seed: 2 }),
      captureField(paintedField(77), { ...far, seed: 3 }),
    ]
    await expect(stitch.read(sources, PARAMS, readContext(sources))).rejects.toThrow(
      'capture-3 finds no place',
    )
  })

  it('goes on without it where that is allowed, with a warning', async () => {
    const field = paintedField(4)
    const sources = [far, { ...far, x: 2000, seed: 3 }, { ...far, x: 220, seed: 2 }].map((c) =>
      captureField(field, c),
    )
    const reading = await stitch.read(
      sources,
      stitch.params.parse({ 'allow-missing': true }),
      readContext(sources),
    )
    expect(reading.captures.map(({ placed }) => placed !== undefined)).toEqual([true, false, true])
    expect(reading.warnings.join()).toContain('capture-2 finds no place')
    const sheet = apply(sources, reading)
    expect(Math.abs(sheet.width - 520)).toBeLessThanOrEqual(1)
  })

  it('is not paper alone: blank captures are refused', async () => {
    const blank = (seed: number) => {
      const next = seeded(seed, 1)
      const rect = { x: 0, y: 0, width: 200, height: 150 }
      const plane = () => Float32Array.from({ length: 30_000 }, () => 0.8 + next.between(-0.01, 0.01))
      return tileSource({ rect, planes: [plane(), plane(), plane()] })
    }
    const sources = [blank(1), blank(2)]
    await expect(stitch.read(sources, PARAMS, readContext(sources))).rejects.toBeInstanceOf(WorkError)
  })

  it('says that a capture given twice adds nothing', async () => {
    const [first, second] = smallTiles({ seed: 9, columns: 2, rows: 1 }).map(sourceOf)
    const sources = [first, second, first]
    const reading = await stitch.read(sources, PARAMS, readContext(sources))
    expect(reading.warnings.join()).toContain('capture-3 shows the same place as capture-1')
  })
})
