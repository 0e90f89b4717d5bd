import { describe, expect, it } from 'vitest'
import { IT8 } from '../../../src/colour/charts/it8.js'
import { RequestError } from '../../../src/errors.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { mapPoint } from '../../../src/steps/colour/find/homography.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { drawChart, TRUE_2014, uprightChart } from './drawChart.js'
import { cgatsOf, drawTarget, targetColours, turnedGrid } from './drawTarget.js'

type Triple = [number, number, number]

async function readingOf(tile: Tile, reference: string, params: Record<string, unknown> = {}) {
  const context = readContext([], {
    auxiliaryCaptures: { 'chart.tif': { source: tileSource(tile) } },
    auxiliaryTexts: { './own.txt': reference },
  })
  const given = colour.params.parse({ chart: 'chart.tif', reference: './own.txt', ...params })
  return (await colour.read([], given, context)) as ChartReading
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

/** A device that mixes its channels, a little beyond what a matrix undoes. */
const MIX = [0.8, 0.15, 0.05, 0.1, 0.75, 0.1, 0, 0.2, 0.75]
const device = ([r, g, b]: Triple): Triple =>
  [0, 1, 2].map(
    (c) =>
      0.8 * (MIX[3 * c] * r + MIX[3 * c + 1] * g + MIX[3 * c + 2] * b) + 0.03 * Math.sqrt(Math.max(0, r * b)),
  ) as Triple

describe('the ISO 12641-1 target', () => {
  const labs = targetColours()
  const names = IT8.patches.map(({ name }) => name)
  const size = { width: 760, height: 520 }
  const toPicture = turnedGrid(size.width, size.height, IT8, 29, 183)
  // The greys lie elsewhere than the layout has them: makers differ.
  const patches = IT8.patches.map((patch, k) =>
    k < 264 ? patch : { ...patch, at: [k - 265, 12.9] as const },
  )
  const tile = drawTarget({ patches }, labs, { ...size, toPicture }, { device, noise: 0.001 })

  it('is found upside down, all 288 patches read, its greys where they lie', async () => {
    const reading = await readingOf(tile, cgatsOf(names, labs))
    for (const at of [
      [0, 0],
      [21, 11],
    ] as [number, number][]) {
      const [x, y] = mapPoint(reading.chart.toPicture, at)
      const [wantedX, wantedY] = mapPoint(toPicture, at)
      expect(Math.hypot(x - wantedX, y - wantedY)).toBeLessThan(0.05 * 29)
    }
    expect(reading.patches).toHaveLength(288)
    expect(reading.patches[264].name).toBe('GS0')
    expect(mean(reading.patches.map(({ before }) => before))).toBeGreaterThan(5)
    expect(mean(reading.patches.map(({ leftOut, after }) => leftOut ?? after))).toBeLessThan(0.5)
    expect(Math.max(...reading.greys.map((k) => reading.patches[k].after))).toBeLessThan(1.5)
    expect(reading.warnings.join()).not.toContain('not even')
    const findings = colour.findings(reading, colour.params.parse({}))
    expect(findings).toContainEqual(expect.objectContaining({ title: expect.stringContaining('288') }))
  })

  it('is refused where its greys are covered, or the reference lacks patches', async () => {
    const covered = drawTarget(
      { patches: patches.slice(0, 264) },
      labs.slice(0, 264),
      { ...size, toPicture },
      { device, noise: 0.001 },
    )
    await expect(readingOf(covered, cgatsOf(names, labs))).rejects.toThrow(/scale of 24 greys/)
    const short = cgatsOf(names.slice(1), labs.slice(1))
    await expect(readingOf(tile, short)).rejects.toThrow(/patches that are missing.*found A1/)
  })
})

describe("a chart of one's own", () => {
  const grid = { columns: 7, rows: 5 }
  const layout = {
    patches: Array.from({ length: 35 }, (_, k) => ({ name: '', at: [k % 7, Math.floor(k / 7)] as const })),
  }
  const labs = targetColours(3)
    .slice(0, 264)
    .filter((_, k) => k % 22 < 12)
    .slice(40, 75)
    .map((lab, k): Triple => (k % 7 === 6 ? [92 - 16 * Math.floor(k / 7), 0.5, -0.5] : lab))
  const size = { width: 420, height: 320 }
  const toPicture = turnedGrid(size.width, size.height, grid, 44, 0)
  const tile = drawTarget(layout, labs, { ...size, toPicture }, { device, half: 0.42 })
  const letters = 'ABCDEFG'
  const byColumn = labs.map((_, k) => `${letters[k % 7]}${Math.floor(k / 7) + 1}`)

  it('is found by its grid, whichever way its patches are named', async () => {
    const byRow = labs.map((_, k) => `${letters[Math.floor(k / 7)]}${(k % 7) + 1}`)
    const down = labs.map((_, k) => String((k % 7) * 5 + Math.floor(k / 7) + 1))
    const ways: [string[], object][] = [
      [byColumn, grid],
      [byRow, { ...grid, letters: 'rows' }],
      [down, { ...grid, numbers: 'by-column' }],
    ]
    for (const [names, how] of ways) {
      const reading = await readingOf(tile, cgatsOf(names, labs, true), { grid: how, fit: 'root-polynomial' })
      expect(reading.chart.title).toBe('chart of 7 x 5 patches')
      const [x, y] = mapPoint(reading.chart.toPicture, [0, 0])
      expect(Math.hypot(x - toPicture[2], y - toPicture[5])).toBeLessThan(2)
      expect(mean(reading.patches.map(({ after }) => after))).toBeLessThan(0.5)
    }
  })

  it('may leave cells out, and takes corners', async () => {
    const kept = labs.map((_, k) => k).filter((k) => k !== 11 && k !== 12)
    const names = kept.map((k) => byColumn[k])
    const reference = cgatsOf(
      names,
      kept.map((k) => labs[k]),
    )
    const corners = [
      [-0.42, -0.42],
      [6.42, -0.42],
      [6.42, 4.42],
      [-0.42, 4.42],
    ].map((at) => mapPoint(toPicture, at as [number, number]).map((v, c) => v / [420, 320][c]))
    const reading = await readingOf(tile, reference, { grid, corners, fit: 'root-polynomial' })
    expect(reading.patches).toHaveLength(33)
    expect(mean(reading.patches.map(({ after }) => after))).toBeLessThan(0.5)
  })

  it('says what is wrong with names, greys and a grid that is not wanted', async () => {
    const error = async (reference: string, params: object) =>
      (await readingOf(tile, reference, params as Record<string, unknown>).catch((caught) => caught)) as Error
    expect((await error(cgatsOf(['H1', ...byColumn.slice(1)], labs), { grid })).message).toContain('H1')
    expect((await error(cgatsOf(['B1', ...byColumn.slice(1)], labs), { grid })).message).toContain('twice')
    const colourful = labs.map(([l, a, b]): Triple => [l, 30 + a / 8, b])
    expect((await error(cgatsOf(byColumn, colourful), { grid })).message).toContain('too few greys')
    expect(await error(cgatsOf(byColumn, labs), {})).toBeInstanceOf(RequestError)
    expect((await error('', { reference: 'chart24-2014', grid })).message).toContain('needs no grid')
  })
})

describe('two charts in one picture', () => {
  it('are told, with the place of the other', async () => {
    const [width, height] = [900, 400]
    const places = [0, 1].map((i) => {
      const place = uprightChart(width, height, 0.42)
      place[2] += (i - 0.5) * 0.5 * width
      return place
    })
    const drawn = { width, height, noise: 0.003, colours: TRUE_2014 }
    const [one, two] = places.map((toPicture) => drawChart({ ...drawn, toPicture }))
    // The left half of one picture and the right half of the other.
    one.planes.forEach((plane, c) => {
      for (let y = 0; y < height; y++) {
        const from = y * width + width / 2
        plane.set(two.planes[c].subarray(from, from + width / 2), from)
      }
    })
    const context = readContext([], { auxiliaryCaptures: { 'chart.tif': { source: tileSource(one) } } })
    const given = colour.params.parse({ chart: 'chart.tif', fit: 'matrix' })
    const reading = (await colour.read([], given, context)) as ChartReading
    expect(reading.warnings.join()).toContain('two charts')
    expect(mean(reading.patches.map(({ after }) => after))).toBeLessThan(0.5)
  })
})
