import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { beforeAll, describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { CHART24_2005 } from '../../../src/colour/charts/sets/chart24Of2005.js'
import { IDENTITY3 } from '../../../src/colour/matrix3.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { RequestError, WorkError } from '../../../src/errors.js'
import { decodePicture } from '../../../src/files/decodePicture.js'
import type { Finding } from '../../../src/findings.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { correctedSource } from '../../../src/steps/colour/correctedSource.js'
import { mapPoint } from '../../../src/steps/colour/find/homography.js'
import { type Fit, RUNGS, STRAIGHT, type Triple } from '../../../src/steps/colour/fit/Fit.js'
import { workingOfLab } from '../../../src/steps/colour/fit/labOfWorking.js'
import { corrected, termCount } from '../../../src/steps/colour/fit/terms.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { busyGround, drawChart, seeded, TRUE_2014, uprightChart } from './drawChart.js'

const [WIDTH, HEIGHT] = [600, 450]
const PLACE = uprightChart(WIDTH, HEIGHT)

/** A device that mixes the channels, half exposed; see fit.test.ts. */
const DEVICE = [0.8, 0.15, 0.05, 0.1, 0.35, 0.05, 0, 0.2, 0.6]
const seen = (colour: Triple): Triple =>
  [0, 1, 2].map(
    (c) => DEVICE[3 * c] * colour[0] + DEVICE[3 * c + 1] * colour[1] + DEVICE[3 * c + 2] * colour[2],
  ) as Triple
const SEEN = TRUE_2014.map(seen)

async function readingOf(tile: Tile, params: Record<string, unknown> = {}): Promise<ChartReading> {
  const context = readContext([], { auxiliaryCaptures: { 'chart.tif': { source: tileSource(tile) } } })
  const given = colour.params.parse({ chart: 'chart.tif', ...params })
  return (await colour.read([], given, context)) as ChartReading
}

const numberOf = (findings: Finding[], name: string): number => {
  const found = findings.find((finding) => finding.kind === 'number' && finding.name === name)
  expect(found, name).toMatchObject({ unit: 'dE2000' })
  return (found as Finding & { kind: 'number' }).value
}

const warningsOf = async (tile: Tile, params?: Record<string, unknown>) =>
  (await readingOf(tile, params)).warnings.join('\n')

describe('colour', () => {
  describe('with a clean chart', () => {
    let reading: ChartReading
    beforeAll(async () => {
      reading = await readingOf(
        drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: SEEN, noise: 0.004 }),
      )
    })

    it('undoes the device and states its errors by the agreed names', () => {
      const findings = colour.findings(reading, colour.params.parse({}))
      expect(numberOf(findings, 'mean dE2000 before')).toBeGreaterThan(15)
      for (const name of ['mean dE2000', 'max dE2000', 'left-out mean dE2000', 'left-out max dE2000']) {
        expect(numberOf(findings, name)).toBeLessThan(0.5)
      }
      expect(numberOf(findings, 'left-out mean dE2000')).toBeGreaterThan(numberOf(findings, 'mean dE2000'))
      expect(findings.filter(({ kind }) => kind === 'warning')).toEqual([])
    })

    it('tells the same after a way through JSON, and is small', () => {
      const text = JSON.stringify(reading)
      expect(text.length).toBeLessThan(300_000)
      const given = colour.params.parse({})
      expect(colour.findings(JSON.parse(text), given)).toEqual(colour.findings(reading, given))
    })

    it('shows the chart with what is read of each patch', () => {
      const pictures = colour
        .findings(reading, colour.params.parse({}))
        .filter((finding) => finding.kind === 'picture')
      expect(pictures).toHaveLength(2)
      const { picture } = pictures[0]
      expect(picture.rgb).toHaveLength(picture.width * picture.height * 3)
      // In the middle of the first patch's outline the chart's own dark skin is seen, not the frame.
      const outline = reading.snapshot.outlines[18]
      const x = Math.round(outline.reduce((sum, [px]) => sum + px, 0) / 4)
      const y = Math.round(outline.reduce((sum, [, py]) => sum + py, 0) / 4)
      const at = 3 * (y * picture.width + x)
      expect(Math.min(...picture.rgb.subarray(at, at + 3))).toBeGreaterThan(120)
    })

    it('is used again from a run record, saying so', async () => {
      const texts = { 'run.json': JSON.stringify({ record: 1, readings: { colour: reading } }) }
      const given = colour.params.parse({ reading: 'run.json' })
      const again = await colour.read([], given, readContext([], { auxiliaryTexts: texts }))
      expect(again).toMatchObject({ ...reading, reused: true })
      expect(colour.findings(again, given)[0]).toMatchObject({ kind: 'warning' })
      expect(colour.auxiliaries!(given)).toEqual([{ key: 'reading', path: 'run.json', kind: 'text' }])
    })

    it('refuses a saved file without such a reading', async () => {
      const given = colour.params.parse({ reading: 'run.json' })
      for (const text of ['{', '{}', '{"readings":{}}', 'null']) {
        const context = readContext([], { auxiliaryTexts: { 'run.json': text } })
        await expect(colour.read([], given, context)).rejects.toThrow(RequestError)
      }
    })
  })

  it('does nothing without a chart, and says so', async () => {
    const given = colour.params.parse({})
    const reading = await colour.read([], given, readContext([]))
    const source = tileSource(emptyTile({ x: 0, y: 0, width: 4, height: 4 }))
    expect(colour.apply([source], reading, given)).toEqual([source])
    expect(colour.findings(reading, given)).toMatchObject([{ kind: 'statement' }])
    expect(colour.auxiliaries!(given)).toEqual([])
  })

  it('takes corners from either end and either way round, as shares or pixels', async () => {
    const tile = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: SEEN, noise: 0.004 })
    const h = 0.43
    const places = [
      [-h, -h],
      [5 + h, -h],
      [5 + h, 3 + h],
      [-h, 3 + h],
    ].map(([u, v]) => mapPoint(PLACE, [u, v]))
    const shares = places.map(([x, y]) => [x / WIDTH, y / HEIGHT])
    const pixels = places.map(([x, y]) => [`${x.toFixed(0)}px`, `${y.toFixed(0)}px`])
    for (const corners of [shares, [...pixels.slice(2), ...pixels.slice(0, 2)], [...shares].reverse()]) {
      const reading = await readingOf(tile, { corners, fit: 'matrix' })
      expect(reading.chart.foundBy).toBe('corners')
      const [x, y] = mapPoint(reading.chart.toPicture, [0, 0])
      expect(Math.hypot(x - PLACE[2], y - PLACE[5])).toBeLessThan(2)
    }
    const elsewhere = shares.map(([x, y]) => [x / 3, y / 3])
    await expect(readingOf(tile, { corners: elsewhere })).rejects.toThrow(
      /corners given hold no 24-patch chart/,
    )
  })

  it('says what to do where there is no chart', async () => {
    const tile = drawChart({
      width: WIDTH,
      height: HEIGHT,
      toPicture: [1, 0, 1e4, 0, 1, 1e4, 0, 0, 1],
      ground: busyGround(seeded(8), WIDTH, HEIGHT),
      noise: 0.004,
    })
    const error = await readingOf(tile).catch((caught) => caught)
    expect(error).toBeInstanceOf(WorkError)
    expect(error.message).toMatch(/^chart\.tif: no 24-patch chart was found.*corners/)
  })

  it('says so where only a part of the chart is in the frame', async () => {
    for (const [dx, dy] of [
      [0.5, 0],
      [0, 0.5],
    ]) {
      const toPicture = [...PLACE]
      toPicture[2] += dx * WIDTH
      toPicture[5] += dy * HEIGHT
      const tile = drawChart({ width: WIDTH, height: HEIGHT, toPicture, colours: SEEN, noise: 0.004 })
      await expect(readingOf(tile)).rejects.toThrow(/only a part of the 24-patch chart/)
    }
  })

  it('leaves covered patches out of the fit, naming them', async () => {
    const covered = drawChart({
      ...{ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: SEEN, noise: 0.004 },
      patch: (k, _u, _v, value) => (k === 8 || k === 13 ? [0.3, 0.28, 0.25] : value),
    })
    const reading = await readingOf(covered)
    expect(reading.warnings.join()).toMatch(/far from the reference.*moderate red, green; left out/)
    expect(reading.patches[8].leftOut).toBeNull()
    reading.patches.forEach(({ after }, k) => {
      if (k !== 8 && k !== 13) expect(after).toBeLessThan(0.5)
    })
  })

  it("names the device's channel that is clipped or holds no light", async () => {
    const [red, green] = [SEEN[14], SEEN[13]]
    const colours = SEEN.map((value, k): Triple => {
      if (k === 14) return [1, red[1], red[2]]
      return k === 13 ? [green[0], green[1], 0] : value
    })
    const tile = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours })
    const warnings = await warningsOf(tile)
    expect(warnings).toContain('clipped: red (red channel)')
    expect(warnings).toContain('no light left: green (blue channel)')
  })

  it('evens out light that changes across the chart, and warns', async () => {
    const light = (x: number, y: number) => 1 + 0.24 * (x / WIDTH - 0.5) - 0.1 * (y / HEIGHT - 0.5)
    const drawn = { width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: SEEN, noise: 0.004, light }
    const reading = await readingOf(drawChart(drawn))
    // Over the chart's patches: 0.24 x 5 / 6 of 0.7 of the width, and 0.1 x 3 pitches of the height.
    expect(reading.chart.unevenPercent).toBeGreaterThan(13)
    expect(reading.chart.unevenPercent).toBeLessThan(22)
    expect(reading.warnings.join()).toContain('unevenly lit')
    const mean = reading.patches.reduce((sum, { after }) => sum + after, 0) / 24
    expect(mean).toBeLessThan(0.6)
  })

  it("warns of clipping and lets the next grey take the white patch's part", async () => {
    const bright = TRUE_2014.map((colour): Triple => colour.map((v) => Math.min(1, 1.25 * v)) as Triple)
    const tile = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: bright })
    const reading = await readingOf(tile)
    expect(reading.anchor).toBe(19)
    expect(reading.patches[18].leftOut).toBeNull()
    expect(reading.warnings.join()).toMatch(/clipped: white\..*neutral 8 patch takes/)
    reading.patches.slice(0, 18).forEach(({ after, name }) => {
      expect(after, name).toBeLessThan(1)
    })
  })

  it('refuses a chart that is clipped through or too dark', async () => {
    const blown = TRUE_2014.map((colour): Triple => colour.map((v) => Math.min(1, 1.2 * v + 0.62)) as Triple)
    const white = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: blown })
    const corners = [
      [-0.43, -0.43],
      [5.43, -0.43],
      [5.43, 3.43],
      [-0.43, 3.43],
    ].map((at) => mapPoint(PLACE, at as [number, number]).map((v, c) => v / [WIDTH, HEIGHT][c]))
    await expect(readingOf(white, { corners })).rejects.toThrow(/chart is clipped/)
    const dark = TRUE_2014.map((colour): Triple => colour.map((v) => 0.005 * v) as Triple)
    const black = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: dark })
    await expect(readingOf(black, { corners })).rejects.toThrow(/too little light/)
  })

  it('warns of a glossy or half covered patch, and of a tone curve', async () => {
    const drawn = { width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: SEEN, noise: 0.004 }
    const glossy = drawChart({
      ...drawn,
      patch: (k, u, v, value) =>
        k === 3 && Math.hypot(u - 0.1, v) < 0.2 ? (value.map((c) => c + 0.2) as Triple) : value,
    })
    expect(await warningsOf(glossy)).toContain('not even: foliage')
    const curved = TRUE_2014.map((value): Triple => value.map((v) => v ** 0.75) as Triple)
    expect(await warningsOf(drawChart({ ...drawn, colours: curved }))).toContain('do not run with the light')
  })

  it('says so where the other edition fits clearly better', async () => {
    const own = CHART24_2005.labD50.map((lab) => seen(workingOfLab([...lab])))
    const tile = drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: own, noise: 0.004 })
    expect(await warningsOf(tile)).toContain('fits chart24-2005 better')
    expect(await warningsOf(tile, { reference: 'chart24-2005' })).toBe('')
  })

  it('takes a reference from a file', async () => {
    const rows = CHART24_2005.labD50.map((lab, k) => `${k + 1} ${lab.join(' ')}`)
    const text = [
      'CGATS.17',
      'BEGIN_DATA_FORMAT',
      'SAMPLE_ID LAB_L LAB_A LAB_B',
      'END_DATA_FORMAT',
      'BEGIN_DATA',
      ...rows,
      'END_DATA',
    ].join('\n')
    const own = CHART24_2005.labD50.map((lab) => seen(workingOfLab([...lab])))
    const source = tileSource(
      drawChart({ width: WIDTH, height: HEIGHT, toPicture: PLACE, colours: own, noise: 0.004 }),
    )
    const context = readContext([], {
      auxiliaryCaptures: { 'chart.tif': { source } },
      auxiliaryTexts: { '/studio/own.txt': text },
    })
    const given = colour.params.parse({ chart: 'chart.tif', reference: '/studio/own.txt' })
    const reading = (await colour.read([], given, context)) as ChartReading
    expect(reading.reference.name).toBe('own.txt')
    expect(Math.max(...reading.patches.map(({ after }) => after))).toBeLessThan(0.5)
    expect(colour.auxiliaries!(given).map(({ key, kind }) => [key, kind])).toEqual([
      ['chart', 'capture'],
      ['reference', 'text'],
    ])
  })

  it('takes only params that mean something', () => {
    expect(colour.params.safeParse({ reference: 'chart24-2013' }).success).toBe(false)
    expect(colour.params.safeParse({ fit: 'best' }).success).toBe(false)
    expect(colour.params.safeParse({ corners: [[0, 0]] }).success).toBe(false)
    expect(
      colour.params.safeParse({
        corners: [
          [0, 0],
          [1.5, 0],
          [1, 1],
          [0, 1],
        ],
      }).success,
    ).toBe(false)
    expect(colour.params.parse({})).toEqual({
      ...{ reference: 'chart24-2014', fit: 'auto', exposure: 'auto' },
      'trust-reading': false,
    })
  })
})

describe('correctedSource', () => {
  const random = seeded(4)
  const whole = emptyTile({ x: 0, y: 0, width: 40, height: 30 })
  for (const plane of whole.planes) plane.set(Array.from(plane, () => 1.2 * random() - 0.1))

  const tones = { straight: [0, 0, 0], bent: [0.3, 0.2, -0.2] }
  const ways = RUNGS.flatMap((rung) => Object.entries(tones).map(([name, bends]) => ({ rung, name, bends })))
  it.each(ways)('$rung, $name: every pixel as the fit says, a tile alone as the whole', ({ rung, bends }) => {
    const n = termCount(rung)
    const fit: Fit = {
      rung,
      channels: [1.1, 0.05, 0, 0.02, 1.2, 0.1, 0, 0.1, 1.3],
      tone: bends.map((b, c) => ({ flare: b === 0 ? 0.01 * c : 0, bend: [b / 2, b] })) as Fit['tone'],
      coefficients: Array.from({ length: 3 * n }, (_, k) =>
        k % n === Math.floor(k / n) ? 0.9 : 0.1 * Math.sin(k),
      ),
    }
    if (rung === 'smooth') {
      fit.field = { size: 9, nodes: Array.from({ length: 3 * 81 }, (_, k) => 0.1 * Math.sin(3 * k)) }
    }
    if (rung === 'none')
      Object.assign(fit, {
        channels: IDENTITY3,
        tone: [STRAIGHT, STRAIGHT, STRAIGHT],
        coefficients: IDENTITY3,
      })
    const source = correctedSource(tileSource(whole), fit)
    const all = source.region(whole.rect)
    for (let p = 0; p < 1200; p += 37) {
      const wanted = corrected(fit, whole.planes.map((plane) => plane[p]) as Triple)
      all.planes.forEach((plane, c) => {
        expect(Math.abs(plane[p] - wanted[c])).toBeLessThan(4e-6)
      })
    }
    const part = source.region({ x: 7, y: 5, width: 21, height: 11 })
    part.planes.forEach((plane, c) => {
      for (let y = 0; y < 11; y++) {
        expect(plane.slice(21 * y, 21 * y + 21)).toEqual(
          all.planes[c].slice((y + 5) * 40 + 7, (y + 5) * 40 + 28),
        )
      }
    })
  })
})

const folder = fileURLToPath(new URL('../../../../shared/data/charts/', import.meta.url))
describe.runIf(existsSync(folder))(
  'colour on hand-held photographs of a chart (github JTvD/arcu @0a1db96, MIT)',
  () => {
    // Centre of the first patch (dark skin) and of the last (black), read off the photographs by eye, pixels.
    const PLACES: [string, [number, number], [number, number]][] = [
      ['chart24-photo-01.jpg', [503, 1336], [1029, 364]],
      ['chart24-photo-02.jpg', [674, 1446], [1180, 581]],
      ['chart24-photo-03.jpg', [511, 1428], [970, 507]],
      ['chart24-photo-04.jpg', [1089, 459], [490, 1457]],
    ]
    it.each(PLACES)('%s: found the right way up', async (name, first, last) => {
      const { raster } = await decodePicture(`${folder}${name}`)
      const { transform } = await inputTransform('sRGB', name)
      const context = readContext([], {
        auxiliaryCaptures: { [name]: { source: captureSource(raster, transform) } },
      })
      const given = colour.params.parse({ chart: name, fit: 'matrix' })
      const reading = (await colour.read([], given, context)) as ChartReading
      const near = (place: [number, number], wanted: [number, number]) => {
        const [x, y] = mapPoint(reading.chart.toPicture, place)
        expect(Math.hypot(x - wanted[0], y - wanted[1])).toBeLessThan(40)
      }
      near([0, 0], first)
      near([5, 3], last)
      // A phone's rendering with its own tone curve: no fit in linear light is good, and the tool says so.
      expect(reading.warnings.join()).toContain('tone curve')
      expect(reading.patches.reduce((sum, { after }) => sum + after, 0) / 24).toBeLessThan(6)
    })
  },
)
