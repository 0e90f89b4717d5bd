import { beforeAll, describe, expect, it } from 'vitest'
import { cutUp } from '../../../demo-data/cutUp.js'
import { lampFalloff } from '../../../demo-data/lighting/lampFalloff.js'
import type { Painting } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { WorkError } from '../../../src/errors.js'
import type { Source } from '../../../src/raster/Source.js'
import { emptyTile } from '../../../src/raster/Tile.js'
import type { Reading } from '../../../src/steps/flat-field/Reading.js'
import { flatField } from '../../../src/steps/flat-field/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { busyGround, seeded } from '../colour/drawChart.js'
import { lamp, painted, range } from './lit.js'

const params = flatField.params.parse({})
const LIGHT = { lampFromDeg: 10, lampHeightDeg: 42, reliefDepth: 1, falloff: 0.2 }
const DEVICE = { device: 'scanner', noise: 0.0035, blurPx: 0.6 } as const

const reading = (sources: Source[], options = {}): Promise<Reading> =>
  flatField.read([], params, readContext(sources, options))

/** How uneven the painter's own lamp is, before and after the reading's gains. */
function lampLeft(gains: Reading, width: number, height: number) {
  const light = emptyTile({ x: 0, y: 0, width, height })
  const arriving = lampFalloff(LIGHT.lampFromDeg, LIGHT.falloff)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const value = arriving((2 * x) / (width - 1) - 1, (2 * y) / (height - 1) - 1)
      for (const plane of light.planes) plane[y * width + x] = value
    }
  }
  const [even] = flatField.apply([tileSource(light)], gains, params)
  const [, left] = even.region(light.rect).planes
  const mean = left.reduce((sum, v) => sum + v, 0) / left.length
  const rms = Math.sqrt(left.reduce((sum, v) => sum + (v / mean - 1) ** 2, 0) / left.length)
  return { before: range(light.planes[1]), after: range(left), rmsPercent: 100 * rms }
}

describe('flat-field without a board', () => {
  let painting: Painting
  beforeAll(() => {
    painting = paint({ seed: 7, width: 1000, height: 700, ppi: 300, sheet: 'tooth' })
  })

  it('evens the lamp out on the blank paper of four tiles of a painting, to within what it states', async () => {
    const tiles = cutUp(painting, {
      ...{ ...LIGHT, ...DEVICE, columns: 2, rows: 2, overlap: 0.2, rotationDeg: 0.35, jitterPx: 4 },
      ...{ turnedTiles: [3], gainSpread: 0, seed: 1 },
    })
    const sources = tiles.map(({ raster }) => captureSource(raster, spaceTransform('sRGB')))
    const taken = await reading(sources)
    const { width, height } = sources[0]
    const { before, after, rmsPercent } = lampLeft(taken, width, height)
    expect(before).toBeGreaterThan(0.15)
    expect(after).toBeLessThan(before / 10)
    expect(taken.basis).toBe('margins')
    // The stated standard error does not flatter, and is worth stating.
    expect(rmsPercent).toBeLessThan(1.5 * taken.margins!.unsurePercent)
    expect(taken.margins!.unsurePercent).toBeLessThan(1)
    const texts = flatField
      .findings(taken, params)
      .flatMap((finding) => (finding.kind === 'statement' ? [finding.text] : []))
    expect(texts.join()).toContain('less sure than a board')
    // What is left on paper is its relief as well: no guideline judges it.
    const judged = flatField.findings(taken, params).filter((finding) => 'pass' in finding)
    expect(judged).toEqual([])
  })

  it('evens a framed sheet to 1 per cent and tells a board from it', async () => {
    const ground = busyGround(seeded(6), 700, 500)
    const inside = (x: number, y: number) => x > 90 && x < 610 && y > 70 && y < 430
    const sheet = painted(700, 500, lamp, {
      colour: (x, y) =>
        inside(x, y)
          ? (ground(x, y).map((v) => 0.1 + 0.5 * v) as [number, number, number])
          : [0.82, 0.8, 0.74],
    })
    const taken = await reading([tileSource(sheet)])
    const grey = painted(700, 500, lamp, { noise: 0, colour: [0.5, 0.5, 0.5] })
    const [even] = flatField.apply([tileSource(grey)], taken, params)
    expect(range(grey.planes[1])).toBeGreaterThan(0.15)
    even.region(grey.rect).planes.forEach((plane) => {
      expect(range(plane)).toBeLessThan(0.02)
    })
    expect(taken.margins!.leftOutPercent).toBeLessThan(1)
    expect(taken.warnings).toEqual([])
  })

  it('takes no pale wash for paper', async () => {
    const washed = (x: number, y: number): [number, number, number] =>
      x > 350 && x < 640 && y > 60 && y < 440 ? [0.76, 0.74, 0.73] : [0.82, 0.8, 0.74]
    const sheet = painted(700, 500, lamp, { colour: washed })
    const taken = await reading([tileSource(sheet)])
    const grey = painted(700, 500, lamp, { noise: 0, colour: [0.5, 0.5, 0.5] })
    const [even] = flatField.apply([tileSource(grey)], taken, params)
    expect(range(even.region(grey.rect).planes[1])).toBeLessThan(0.02)
  })

  it('warns of paper whose tint runs over the sheet: age, not light', async () => {
    const aged = painted(700, 500, (u, v) => {
      const edge = 2 * Math.max(Math.abs(u - 0.5), Math.abs(v - 0.5))
      return [1 - 0.06 * edge ** 2, 1 - 0.1 * edge ** 2, 1 - 0.2 * edge ** 2]
    })
    expect((await reading([tileSource(aged)])).warnings.join()).toMatch(/changes its tint.*its age/)
  })

  it('refuses where there is no blank paper, and warns where there is little', async () => {
    const ground = busyGround(seeded(6), 600, 400)
    const full = painted(600, 400, lamp, {
      colour: (x, y) => ground(x, y).map((v) => 0.1 + 0.6 * v) as [number, number, number],
    })
    await expect(reading([tileSource(full)])).rejects.toThrow(WorkError)
    await expect(reading([tileSource(full)])).rejects.toThrow(/too little blank paper.*blank board/s)
  })
})
