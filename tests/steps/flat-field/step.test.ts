import { describe, expect, it } from 'vitest'
import { RequestError } from '../../../src/errors.js'
import type { Finding } from '../../../src/findings.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { gridWeights } from '../../../src/steps/flat-field/gridWeights.js'
import type { Reading } from '../../../src/steps/flat-field/Reading.js'
import { flatField } from '../../../src/steps/flat-field/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { busyGround, seeded } from '../colour/drawChart.js'
import { lamp, painted, range, type Triple } from './lit.js'

async function readingOf(
  board: Tile,
  params: Record<string, unknown> = {},
  capture = board,
): Promise<Reading> {
  const context = readContext([tileSource(capture)], {
    auxiliaryCaptures: { 'board.tif': { source: tileSource(board) } },
  })
  return flatField.read([], flatField.params.parse({ board: 'board.tif', ...params }), context)
}

const applied = (tile: Tile, reading: Reading) =>
  flatField.apply([tileSource(tile)], reading, flatField.params.parse({ board: 'board.tif' }))[0]

const texts = (findings: Finding[], kind: 'warning' | 'statement') =>
  findings.flatMap((finding) => (finding.kind === kind ? [finding.text] : []))

describe('flat-field', () => {
  it('makes an unevenly lit sheet even to 0.4 per cent, edges and corners too', async () => {
    const reading = await readingOf(painted(600, 400, lamp))
    const sheet = painted(600, 400, lamp, { noise: 0, colour: [0.5, 0.4, 0.3] })
    const before = sheet.planes.map((plane) => range(plane))
    const even = applied(sheet, reading).region(sheet.rect)
    even.planes.forEach((plane, c) => {
      expect(before[c]).toBeGreaterThan(0.15)
      // Noise of 0.6 % a pixel in the board leaves no more than this after smoothing.
      expect(range(plane)).toBeLessThan(0.004)
    })
  })

  it('keeps exposure and colour where the board is brightest', async () => {
    const reading = await readingOf(painted(600, 400, lamp))
    const sheet = painted(600, 400, lamp, { noise: 0, colour: [0.5, 0.4, 0.3] })
    const at = Math.round(0.55 * 400) * 600 + Math.round(0.45 * 600)
    applied(sheet, reading)
      .region(sheet.rect)
      .planes.forEach((plane, c) => {
        expect(plane[at] / [0.5, 0.4, 0.3][c]).toBeCloseTo(1, 2)
      })
  })

  it('states the unevenness of a known lamp', async () => {
    const { unevenPercent, cornerLossPercent } = await readingOf(painted(600, 400, lamp))
    // The lamp's own formula at the far corner, u = 1, v = 0; luminance is 0.288 red + 0.712 green (ISO 22028-2).
    const board = [0.8, 0.78]
    const light = ([r, g]: Triple) => 0.288 * r * board[0] + 0.712 * g * board[1]
    const loss = 100 * (1 - light(lamp(1, 0)) / light(lamp(0.45, 0.55)))
    expect(Math.abs(cornerLossPercent[1] - loss)).toBeLessThan(0.3)
    const mean = 1 - 0.33 * (1 / 12 + 1 / 12 + 0.05 ** 2 + 0.05 ** 2)
    expect(Math.abs(unevenPercent.green - (100 * (1 - lamp(1, 0)[1])) / mean)).toBeLessThan(0.4)
    expect(unevenPercent.blue).toBeGreaterThan(unevenPercent.green)
    const findings = flatField.findings(
      await readingOf(painted(600, 400, lamp)),
      flatField.params.parse({ board: 'x' }),
    )
    const named = (name: string) =>
      findings.find((finding) => finding.kind === 'number' && finding.name === name)
    // The lamp is as it is; what the guideline judges is the light once corrected.
    expect(named('unevenness of the light')).toMatchObject({ value: unevenPercent.luminance, unit: '%' })
    expect(named('unevenness left on the board')).toMatchObject({
      unit: '%',
      pass: true,
      source: expect.stringContaining('September 2016'),
    })
    expect(findings.filter(({ kind }) => kind === 'picture')).toHaveLength(1)
    // Beside the tolerances: 3 L* for A4 to A3 (Metamorfoze 1.0, 2012), below 5 % for 2 star (FADGI 2016).
    const table = findings.find((finding) => finding.kind === 'table')
    expect(table).toMatchObject({
      rows: expect.arrayContaining([
        expect.arrayContaining(['2 star', 'below 5 %', `${unevenPercent.luminance.toFixed(1)} %`, 'not met']),
        expect.arrayContaining(['A4 to A3', 'at most 3 L*', 'not met', 'met']),
      ]),
    })
  })

  it('leaves an even lamp alone', async () => {
    const reading = await readingOf(painted(300, 300, () => [1, 1, 1]))
    expect(Math.max(...reading.gains.flat().map((gain) => Math.abs(gain - 1)))).toBeLessThan(0.004)
  })

  it('does not see dust, hairs and pencil marks', async () => {
    const clean = await readingOf(painted(600, 400, lamp))
    const mark = (x: number, y: number) =>
      (x % 97 < 3 && y % 83 < 3) || Math.abs(y - 0.5 * x) < 1.5 || Math.hypot(x - 420, y - 90) < 9 ? 0.4 : 1
    const dusty = await readingOf(painted(600, 400, lamp, { mark, seed: 2 }))
    dusty.gains.flat().forEach((gain, k) => {
      expect(gain / clean.gains.flat()[k]).toBeCloseTo(1, 2)
    })
  })

  it('takes the black level off before dividing', async () => {
    const board = painted(600, 400, lamp, { black: 0.05 })
    const sheet = painted(600, 400, lamp, { noise: 0, black: 0.05, colour: [0.1, 0.1, 0.1] })
    const even = applied(sheet, await readingOf(board, { 'black-level': '5%' })).region(sheet.rect)
    expect(range(even.planes[1])).toBeLessThan(0.004)
    expect(even.planes[1][200 * 600 + 300]).toBeCloseTo(0.1, 2)
    // Without it the shadows stay uneven.
    expect(range(applied(sheet, await readingOf(board)).region(sheet.rect).planes[1])).toBeGreaterThan(0.04)
  })

  it('takes a board of other pixels but the same frame, and refuses another frame', async () => {
    const board = painted(300, 200, lamp)
    const sheet = painted(600, 400, lamp, { noise: 0 })
    const even = applied(sheet, await readingOf(board, {}, sheet)).region(sheet.rect)
    expect(range(even.planes[0])).toBeLessThan(0.006)
    const square = painted(300, 300, lamp)
    await expect(readingOf(board, {}, square)).rejects.toThrow(
      /does not show the same frame as capture-1.*300 x 300/,
    )
  })

  it('refuses boards that are dark, clipped, steep, or not blank', async () => {
    const refused = async (board: Tile, words: RegExp, params = {}) => {
      const error = await readingOf(board, params).catch((caught) => caught)
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toMatch(words)
    }
    await refused(painted(300, 200, lamp, { colour: [0.01, 0.01, 0.01], noise: 0.001 }), /too dark/)
    await refused(
      painted(300, 200, () => [1, 1, 1], { colour: [1, 1, 1], noise: 0 }),
      /board is clipped/,
    )
    await refused(
      painted(300, 200, (u) => [0.05 + u, 0.05 + u, 0.05 + u].map((v) => v / 1.2) as Triple),
      /too unevenly lit/,
    )
    const ground = busyGround(seeded(6), 600, 400)
    await refused(
      painted(600, 400, lamp, { colour: (x, y) => ground(x, y).map((v) => 0.3 + 0.5 * v) as Triple }),
      /not blank/,
    )
  })

  it('warns of a dim board and of marks', async () => {
    expect(
      (
        await readingOf(painted(300, 200, lamp, { colour: [0.06, 0.06, 0.06], noise: 0.0005 }))
      ).warnings.join(),
    ).toContain('board is dark')
    const mark = (x: number, y: number) => (x > 60 && x < 140 && y > 40 && y < 80 ? 0.7 : 1)
    const reading = await readingOf(painted(300, 200, lamp, { mark }))
    expect(reading.warnings.join()).toMatch(/stands out from the smooth light/)
  })

  it('gives a tile alone the same bits as the whole', async () => {
    const sheet = painted(120, 90, lamp)
    const source = applied(sheet, await readingOf(painted(120, 90, lamp, { seed: 5 })))
    const all = source.region(sheet.rect)
    const part = source.region({ x: 33, y: 17, width: 50, height: 41 })
    part.planes.forEach((plane, c) => {
      for (let y = 0; y < 41; y++) {
        expect(plane.slice(50 * y, 50 * y + 50)).toEqual(
          all.planes[c].slice((y + 17) * 120 + 33, (y + 17) * 120 + 83),
        )
      }
    })
  })

  it('uses a saved reading again, through JSON, saying so; checks its frame', async () => {
    const board = painted(300, 200, lamp)
    const reading = await readingOf(board)
    const given = flatField.params.parse({ reading: 'run.json' })
    const auxiliaryTexts = { 'run.json': JSON.stringify({ readings: { 'flat-field': reading } }) }
    const again = await flatField.read([], given, readContext([tileSource(board)], { auxiliaryTexts }))
    expect(again).toMatchObject({ ...reading, reused: true })
    expect(texts(flatField.findings(again, given), 'warning').join()).toContain('earlier run')
    // Only a board of this run shows the light that its captures lay in.
    expect(flatField.neutral!(reading)).toEqual({ label: 'board.tif', linear: reading.brightest })
    expect(flatField.neutral!(again)).toBeUndefined()
    const other = readContext([tileSource(painted(300, 300, lamp))], { auxiliaryTexts })
    await expect(flatField.read([], given, other)).rejects.toThrow(RequestError)
    const wrong = readContext([], {
      auxiliaryTexts: { 'run.json': '{"readings":{"flat-field":{"gains":3}}}' },
    })
    await expect(flatField.read([], given, wrong)).rejects.toThrow(/holds no reading of flat-field/)
  })

  it('takes one board or several, and a black level with its sign or a dark frame, not both', () => {
    expect(flatField.params.parse({ board: 'a.tif' }).board).toEqual(['a.tif'])
    expect(flatField.params.parse({ board: ['a.tif', 'b.tif'] }).board).toEqual(['a.tif', 'b.tif'])
    expect(flatField.params.safeParse({ board: [] }).success).toBe(false)
    expect(flatField.params.safeParse({ dark: 'd.tif', 'black-level': '2%' }).success).toBe(false)
    expect(flatField.params.safeParse({ board: 'a.tif', 'black-level': 0.1 }).success).toBe(false)
    expect(flatField.params.safeParse({ board: 'a.tif', 'black-level': '60%' }).success).toBe(false)
    expect(flatField.params.parse({ board: 'a.tif' })['black-level']).toBe(0)
  })
})

describe('gridWeights', () => {
  it('goes through the nodes and keeps a straight line straight up to both edges', () => {
    const nodes = 7
    const { first, weights } = gridWeights(240, nodes)
    for (let p = 0; p < 240; p++) {
      const at = ((p + 0.5) / 240) * (nodes - 1)
      let [sum, line] = [0, 0]
      for (let k = 0; k < 4; k++) {
        sum += weights[4 * p + k]
        line += weights[4 * p + k] * (first[p] + k)
      }
      expect(sum).toBeCloseTo(1, 12)
      expect(line).toBeCloseTo(at, 12)
    }
  })
})
