import { beforeAll, describe, expect, it } from 'vitest'
import type { CaptureConditions } from '../../../src/colour/exposure/CaptureConditions.js'
import { RequestError, WorkError } from '../../../src/errors.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { tiedFit } from '../../../src/steps/colour/exposure/tiedFit.js'
import type { Fit, Triple } from '../../../src/steps/colour/fit/Fit.js'
import { corrected } from '../../../src/steps/colour/fit/terms.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import type { CaptureInfo, Neutral } from '../../../src/steps/contract.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { drawChart, seeded, TRUE_2014, uprightChart } from './drawChart.js'

const [WIDTH, HEIGHT] = [600, 450]
/** A device that mixes the channels, half exposed; as in step.test.ts. */
const DEVICE = [0.8, 0.15, 0.05, 0.1, 0.35, 0.05, 0, 0.2, 0.6]
const seen = ([x, y, z]: Readonly<Triple>): Triple =>
  [0, 1, 2].map((c) => DEVICE[3 * c] * x + DEVICE[3 * c + 1] * y + DEVICE[3 * c + 2] * z) as Triple
const times = (colour: Readonly<Triple>, gain: number) => colour.map((v) => v * gain) as Triple

const PAPER: Triple = [0.83, 0.81, 0.74]
const WASH: Triple = [0.35, 0.2, 0.3]

const chartTile = drawChart({
  ...{ width: WIDTH, height: HEIGHT, toPicture: uprightChart(WIDTH, HEIGHT, 0.5), noise: 0.003 },
  colours: TRUE_2014.map(seen),
  ground: () => seen(PAPER),
})

/** The painting: paper around a wash, seen by the device at some exposure. */
function painting(exposure: number, tint: Triple = [1, 1, 1], seed = 3): Tile {
  const random = seeded(seed)
  const tile = emptyTile({ x: 0, y: 0, width: 400, height: 300 })
  for (let y = 0; y < 300; y++) {
    for (let x = 0; x < 400; x++) {
      const inside = Math.abs(x - 200) < 120 && Math.abs(y - 150) < 80
      const linear = times(seen(inside ? WASH : PAPER), exposure)
      tile.planes.forEach((plane, c) => {
        plane[y * 400 + x] = linear[c] * tint[c] + 0.004 * (random() - 0.5)
      })
    }
  }
  return tile
}

const said = (timeS: number): CaptureConditions => ({ device: 'Stand Forty', timeS, fNumber: 8, iso: 100 })

interface Setting {
  captures?: Partial<CaptureInfo>[]
  chart?: Partial<CaptureInfo>
  neutral?: Neutral
  texts?: Record<string, string>
}

function contextOf(tiles: Tile[], { captures, chart, neutral, texts }: Setting) {
  const context = readContext(tiles.map(tileSource), {
    captures,
    kind: 'camera',
    auxiliaryCaptures: { 'chart.tif': { source: tileSource(chartTile), info: chart } },
    auxiliaryTexts: texts,
  })
  return Object.assign(context, { neutral })
}

const readingOf = async (tiles: Tile[], setting: Setting, params: Record<string, unknown> = {}) =>
  (await colour.read(
    [],
    colour.params.parse({ chart: 'chart.tif', fit: 'matrix', ...params }),
    contextOf(tiles, setting),
  )) as ChartReading

/** The wash's and the paper's colour in each capture once corrected. */
function correctedPlaces(tiles: Tile[], reading: ChartReading): { wash: Triple; paper: Triple }[] {
  return colour.apply(tiles.map(tileSource), reading, colour.params.parse({})).map((source) => {
    const mean = (x: number, y: number) =>
      source
        .region({ x, y, width: 30, height: 30 })
        .planes.map((plane) => plane.reduce((sum, v) => sum + v, 0) / plane.length) as Triple
    return { wash: mean(185, 135), paper: mean(10, 10) }
  })
}

function expectTrue(results: { wash: Triple; paper: Triple }[]) {
  for (const { wash, paper } of results) {
    wash.forEach((value, c) => {
      expect(Math.abs(value / WASH[c] - 1)).toBeLessThan(0.03)
    })
    paper.forEach((value, c) => {
      expect(Math.abs(value / PAPER[c] - 1)).toBeLessThan(0.03)
    })
  }
}

describe('a chart exposed otherwise than the painting', () => {
  const tiles = [painting(0.5), painting(1), painting(1.6)]

  it('is tied to it by what the files say', async () => {
    const captures = [said(1 / 120), said(1 / 60), said(1.6 / 60)].map((conditions) => ({ conditions }))
    const reading = await readingOf(tiles, { captures, chart: { conditions: said(1 / 60) } })
    expect(reading.exposure!.by).toBe('metadata')
    expectTrue(correctedPlaces(tiles, reading))
    const texts = colour
      .findings(reading, colour.params.parse({}))
      .flatMap((finding) => (finding.kind === 'statement' ? [finding.text] : []))
    expect(texts.join()).toContain('It is assumed that the light kept its strength')
  })

  it('is tied to it by the blank paper that shows in both', async () => {
    const reading = await readingOf(tiles, {}, { exposure: 'paper' })
    expect(reading.exposure!.by).toBe('paper')
    reading.exposure!.gains.forEach((gain, i) => {
      expect(gain).toBeCloseTo([2, 1, 1 / 1.6][i], 1)
    })
    expectTrue(correctedPlaces(tiles, reading))
    expect(reading.exposure!.warnings).toEqual([])
  })

  it('is taken to be exposed alike where nothing says, and that is stated', async () => {
    const reading = await readingOf([tiles[1]], {})
    expect(reading.exposure).toMatchObject({ by: 'assumed', gains: [1] })
    expectTrue(correctedPlaces([tiles[1]], reading))
    await expect(readingOf([tiles[1]], {}, { exposure: 'metadata' })).rejects.toThrow(
      /not all files say their exposure/,
    )
  })

  it('refuses paper where there is none', async () => {
    const dark = emptyTile({ x: 0, y: 0, width: 200, height: 150 })
    for (const plane of dark.planes) plane.fill(0.02)
    await expect(readingOf([dark], {}, { exposure: 'paper' })).rejects.toThrow(WorkError)
  })
})

describe('a chart in another light than the painting', () => {
  it('is told from the same by the board, with the size of it', async () => {
    const board = (tint: Triple): Neutral => ({
      label: 'board.tif',
      linear: seen([0.8, 0.8, 0.8]).map((v, c) => v * tint[c]) as Triple,
    })
    const same = await readingOf([painting(1)], { neutral: board([1, 1, 1]) })
    expect(same.warnings.join()).not.toContain('another light')
    expect(same.statements.join()).toMatch(/is 0\.\d from neutral/)
    const other = await readingOf([painting(1)], { neutral: board([1.1, 1, 0.7]) })
    expect(other.warnings.join()).toMatch(/another light.*by \d+\.\d \(a\*b\*/)
  })

  it('is told by the paper that shows in both', async () => {
    const reading = await readingOf([painting(0.8, [1.08, 1, 0.8])], {}, { exposure: 'paper' })
    expect(reading.exposure!.warnings.join()).toMatch(/another light.*by \d+\.\d \(a\*b\*/)
  })

  it('is told, without a board, by paper of a colour that no paper has', async () => {
    const usual = await readingOf([painting(1)], {})
    expect(usual.warnings.join()).not.toContain('another light')
    // A bluish lamp over the painting, the chart in the usual one.
    const blue = await readingOf([painting(1, [0.8, 1, 1.4])], {})
    expect(blue.warnings.join()).toMatch(/unpainted paper \(capture-1\).*differs in grey balance by \d+\.\d/)
  })

  it('is told by the files, as is another device', async () => {
    const { warnings } = await readingOf([painting(1)], {
      captures: [{ conditions: { ...said(1 / 60), light: 'D50' } }],
      chart: { conditions: { ...said(1 / 60), device: 'Other', light: 'tungsten' } },
    })
    expect(warnings.join()).toMatch(/another device \(Other instead of Stand Forty\)/)
    expect(warnings.join()).toMatch(/another light \(tungsten instead of D50\)/)
  })
})

describe('a colour reading used for the whole session', () => {
  let texts: Record<string, string>
  const captures = [{ conditions: said(1 / 60), profile: 'sRGB' }]
  beforeAll(async () => {
    const reading = await readingOf([painting(1)], { captures, chart: { conditions: said(1 / 30) } })
    texts = { 'morning.json': JSON.stringify({ readings: { colour: reading } }) }
  })
  const again = (setting: Setting, params = {}, tiles = [painting(1)]) =>
    colour.read(
      [],
      colour.params.parse({ reading: 'morning.json', ...params }),
      contextOf(tiles, { texts, ...setting }),
    ) as Promise<ChartReading>

  it('holds for another painting of the session, tied by what its files say', async () => {
    const reading = await again({ captures: [captures[0], captures[0]] }, {}, [painting(1), painting(1)])
    expect(reading).toMatchObject({ reused: true, reuse: { differs: [] } })
    expect(reading.exposure!.gains).toEqual([2, 2])
  })

  it('is refused in another session with the reason, unless told otherwise', async () => {
    const other = { captures: [{ conditions: { ...said(1 / 60), device: 'Other' }, profile: 'opRGB' }] }
    await expect(again(other)).rejects.toThrow(RequestError)
    await expect(again(other)).rejects.toThrow(/the device: Other instead.*the profile: opRGB instead/s)
    const reading = await again(other, { 'trust-reading': true })
    const warnings = colour
      .findings(reading, colour.params.parse({}))
      .flatMap((finding) => (finding.kind === 'warning' ? [finding.text] : []))
    expect(warnings.join()).toMatch(/Used all the same.*Other instead of Stand Forty/)
  })
})

describe('a fit tied to another exposure', () => {
  const straight = { flare: 0.02, bend: [0, 0] as [number, number] }
  const fitWith = (bend: [number, number]): Fit => ({
    rung: 'root-polynomial',
    channels: [1.2, -0.1, 0, 0, 1.4, -0.2, 0.1, 0, 1.1],
    tone: [
      { ...straight, bend },
      { ...straight, bend },
      { ...straight, bend },
    ],
    coefficients: [1, 0.1, -0.1, 0.05, 0, 0, 0, 0.9, 0.1, 0, -0.05, 0, 0.1, 0, 0.8, 0, 0, 0.1],
  })

  it('gives what the fit gives of the light multiplied first, where numbers run with the light', () => {
    const colourSeen: Triple = [0.3, 0.2, 0.1]
    const direct = corrected(fitWith([0, 0]), times(colourSeen, 1.7))
    corrected(tiedFit(fitWith([0, 0]), 1.7), colourSeen).forEach((value, c) => {
      expect(value).toBeCloseTo(direct[c], 12)
    })
  })

  it('multiplies the light, not the numbers, where a tone curve lies between', () => {
    const bent = fitWith([0.2, 0.1])
    const plain = corrected(bent, [0.3, 0.2, 0.1])
    corrected(tiedFit(bent, 1.7), [0.3, 0.2, 0.1]).forEach((value, c) => {
      expect(value).toBeCloseTo(1.7 * plain[c], 12)
    })
    expect(tiedFit(bent, 1)).toBe(bent)
  })
})
