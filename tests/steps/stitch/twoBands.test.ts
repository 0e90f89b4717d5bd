import { describe, expect, it } from 'vitest'
import type { Rect } from '../../../src/raster/Rect.js'
import type { Source } from '../../../src/raster/Source.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { joined } from '../../../src/steps/stitch/joined.js'
import { FLAT } from '../../../src/steps/stitch/light/LightField.js'
import { rigid } from '../../../src/steps/stitch/Placement.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { coarseSteps, pairKey } from '../../../src/steps/stitch/seams/coarseSteps.js'
import { measureCoarse } from '../../../src/steps/stitch/seams/measureCoarse.js'
import { toRuns } from '../../../src/steps/stitch/seams/runs.js'
import { tileSource, wholeTile } from '../../helpers/readContext.js'

const SIDE = 320
const CELL_PX = 4
/** The second capture begins here; the seam runs down the middle of what both hold. */
const SECOND_X = 120
const WIDTH = SECOND_X + SIDE
const SEAM_X = WIDTH / 2

/** A capture of vertical lines two pixels apart in the middle of paper, lighter by a factor, its lines `shift` pixels off. */
function capture(x0: number, factor: number, shift: number) {
  const tile = emptyTile({ x: 0, y: 0, width: SIDE, height: SIDE })
  for (let y = 0, i = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++, i++) {
      const line = (x + x0 + shift) % 4 < 1 ? 0.2 : 0.7
      for (const plane of tile.planes) plane[i] = line * factor
    }
  }
  return tileSource(tile)
}

function readingOf(sources: readonly Source[]): StitchReading {
  const [width, height] = [WIDTH / CELL_PX, SIDE / CELL_PX]
  const labels = new Int16Array(width * height).map((_, i) => ((i % width) * CELL_PX < SEAM_X ? 0 : 1))
  const placed = (x: number) => ({
    toSheet: [1, 0, x, 0, 1, 0, 0, 0] as [number, number, number, number, number, number, number, number],
    rotationDeg: 0,
    gain: [1, 1, 1] as [number, number, number],
  })
  const seams = { cellPx: CELL_PX, width, height, runs: toRuns(labels) }
  const views = sources.map((source) => ({
    upright: { label: '', turned: 0 as const, width: SIDE, height: SIDE, scale: 1 },
    light: { width: SIDE, height: SIDE, cell: 1, planes: wholeTile(source).planes },
    levels: [],
  }))
  const middle = (SIDE - 1) / 2
  const layout = {
    ...{ width: WIDTH, height: SIDE },
    placements: [0, SECOND_X].map((x) => rigid(0, x + middle, middle)),
  }
  const corrections = sources.map(() => ({ gain: [1, 1, 1] as [number, number, number], field: FLAT }))
  return {
    ...{ width: WIDTH, height: SIDE, pairs: [], misplacementRmsPx: 0, windows: 0, outliers: 0, vectors: [] },
    ...{ overlapShare: 0.4, uncoveredShare: 0, fill: [1, 1, 1], statements: [], warnings: [] },
    captures: [0, SECOND_X].map((x, i) => ({
      ...{ label: `capture-${i + 1}`, width: SIDE, height: SIDE, turned: 0 as const, placed: placed(x) },
    })),
    layers: [{ captures: [0, 1], seams, coarse: measureCoarse(views, layout, corrections, seams) }],
  }
}

const whole: Rect = { x: 0, y: 0, width: WIDTH, height: SIDE }
const LINE = (SIDE / 2) * WIDTH

/** Mean light of whole periods of the lines about a column. */
const level = (plane: Float32Array, x: number) =>
  plane.subarray(LINE + x - 8, LINE + x + 8).reduce((sum, value) => sum + value, 0) / 16

describe('two bands', () => {
  it('mix coarse light over a wide transition, with no step left at the seam', () => {
    const sources = [capture(0, 1, 0), capture(SECOND_X, 0.96, 0)]
    const sheet = joined(sources, readingOf(sources)).region(whole)
    const [plane] = sheet.planes
    const levels = Array.from({ length: 11 }, (_, k) => level(plane, SEAM_X - 100 + 20 * k))
    // Burt and Adelson 1983, section 1: a band's transition is to be about as wide as its features are large.
    for (let k = 1; k < levels.length; k++) {
      expect(levels[k] / levels[k - 1]).toBeGreaterThan(0.985)
      expect(levels[k] / levels[k - 1]).toBeLessThan(1.0001)
    }
    expect(levels[5] / levels[0]).toBeCloseTo(Math.sqrt(0.96), 2)
    expect(levels[10] / levels[0]).toBeCloseTo(0.96, 2)
    // The factor is the same on a line and beside it.
    const x = SEAM_X - 40
    const [dark, light] = [plane[LINE + x], (plane[LINE + x - 2] + plane[LINE + x + 2]) / 2]
    expect(dark / light).toBeCloseTo(0.2 / 0.7, 4)
    expect(light).toBeLessThan(0.699)
  })

  it('take detail from one capture but for a narrow strip, where captures lie two pixels apart', () => {
    const sources = [capture(0, 1, 0), capture(SECOND_X, 1, 2)]
    const sheet = joined(sources, readingOf(sources)).region(whole)
    const row = sheet.planes[0].subarray(LINE, LINE + WIDTH)
    const doubled = [...row].flatMap((value, x) =>
      Math.min(Math.abs(value - 0.2), Math.abs(value - 0.7)) > 0.02 ? [x] : [],
    )
    for (const x of doubled) expect(Math.abs(x - SEAM_X)).toBeLessThanOrEqual(CELL_PX)
  })

  it('say it in few numbers, however large the sheet', () => {
    const [width, height, cellPx] = [800, 600, 16]
    const labels = new Int16Array(width * height).map(
      (_, i) => (i % width < 400 ? 0 : 1) + (i < 240_000 ? 0 : 2),
    )
    const seams = { cellPx, width, height, runs: toRuns(labels) }
    const view = (k: number) => ({
      upright: { label: '', turned: 0 as const, width: 8000, height: 6000, scale: 1 },
      light: {
        ...{ width: 800, height: 600, cell: 10 },
        planes: [0, 1, 2].map(() => new Float32Array(480_000).fill(0.5 * 1.02 ** k)) as Tile['planes'],
      },
      levels: [],
    })
    const layout = {
      ...{ width: width * cellPx, height: height * cellPx },
      placements: [0, 1, 2, 3].map((k) => rigid(0, 4000 + 4800 * (k % 2), 3000 + 3600 * (k >> 1))),
    }
    const gain: [number, number, number] = [1, 1, 1]
    const coarse = measureCoarse(
      [0, 1, 2, 3].map(view),
      layout,
      [0, 1, 2, 3].map(() => ({ gain, field: FLAT })),
      seams,
    )
    expect(coarse.pairs.map(({ first, second }) => `${first}${second}`)).toEqual(
      expect.arrayContaining(['01', '02', '13', '23']),
    )
    expect(JSON.stringify(coarse).length).toBeLessThan(250_000)
    const { pairs } = coarseSteps(coarse, seams)
    for (const { first, second } of coarse.pairs) {
      // Written to a hundredth of a per cent; 0 where no cell near is held by both.
      for (const step of pairs.get(pairKey(first, second))!.steps) {
        if (step !== 0) expect(Math.abs(step - (first - second) * Math.log(1.02))).toBeLessThan(6e-5)
      }
    }
    expect(pairs.get(pairKey(0, 1))!.steps.some((step) => step !== 0)).toBe(true)
  })

  it('have the same bits in tiles of any size as in the whole', () => {
    const sources = [capture(0, 1, 0), capture(SECOND_X, 0.93, 1)]
    const source = joined(sources, readingOf(sources))
    const all = source.region(whole)
    for (const rect of [
      { x: 101, y: 37, width: 61, height: 23 },
      { x: SEAM_X - 7, y: 0, width: 13, height: SIDE },
      { x: SEAM_X + 60, y: 300, width: 64, height: 20 },
      { x: 0, y: 5, width: WIDTH, height: 1 },
    ]) {
      const part = source.region(rect)
      for (const [c, plane] of part.planes.entries()) {
        for (let j = 0; j < rect.height; j++) {
          const from = (rect.y + j) * WIDTH + rect.x
          expect(plane.subarray(j * rect.width, (j + 1) * rect.width)).toEqual(
            all.planes[c].subarray(from, from + rect.width),
          )
        }
      }
    }
  })
})
