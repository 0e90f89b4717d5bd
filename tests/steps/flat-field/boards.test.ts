import { describe, expect, it } from 'vitest'
import type { CaptureConditions } from '../../../src/colour/exposure/CaptureConditions.js'
import type { Tile } from '../../../src/raster/Tile.js'
import type { CaptureInfo } from '../../../src/steps/contract.js'
import { otherSettings } from '../../../src/steps/flat-field/otherSettings.js'
import { overlaid } from '../../../src/steps/flat-field/overlaid.js'
import type { Reading } from '../../../src/steps/flat-field/Reading.js'
import { flatField } from '../../../src/steps/flat-field/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { lamp, painted, range } from './lit.js'

async function readingOf(boards: Tile[], darks: Tile[] = []): Promise<Reading> {
  const named = (tiles: Tile[], name: string) =>
    tiles.map((tile, i) => [`${name}-${i + 1}.tif`, tile] as const)
  const all = [...named(boards, 'board'), ...named(darks, 'dark')]
  const context = readContext([tileSource(boards[0])], {
    auxiliaryCaptures: Object.fromEntries(all.map(([path, tile]) => [path, { source: tileSource(tile) }])),
  })
  const params = {
    board: named(boards, 'board').map(([path]) => path),
    ...(darks.length > 0 && { dark: named(darks, 'dark').map(([path]) => path) }),
  }
  return flatField.read([], flatField.params.parse(params), context)
}

const applied = (tile: Tile, reading: Reading) =>
  flatField.apply([tileSource(tile)], reading, flatField.params.parse({}))[0].region(tile.rect)

/** The board's own smears, over an eighth of it, where the board lies in its `shot`-th place: no place is smeared twice in five. */
const smeared = (shot: number) => (x: number, y: number) => {
  const at = (x + 97 * shot) % 600
  return [
    [90, 90, 45],
    [330, 300, 55],
    [210, 200, 40],
  ].some(([cx, cy, r]) => Math.hypot(at - cx, y - cy) < r)
    ? 0.85
    : 1
}

describe('flat-field with several boards', () => {
  it('is free of marks that moved with the board, of any size, though no single board is', async () => {
    const shots = [11, 12, 13, 14, 15].map((seed) => painted(600, 400, lamp, { mark: smeared(seed), seed }))
    const sheet = painted(600, 400, lamp, { noise: 0, colour: [0.5, 0.4, 0.3] })
    const together = await readingOf(shots)
    applied(sheet, together).planes.forEach((plane) => {
      expect(range(plane)).toBeLessThan(0.008)
    })
    const single = await readingOf([shots[0]]).catch(() => undefined)
    if (single) expect(range(applied(sheet, single).planes[1])).toBeGreaterThan(0.02)
    expect(together.boards).toMatchObject({ count: 5 })
    expect(together.boards!.marksPercent).toBeGreaterThan(5)
    expect(together.marksPercent).toBeLessThan(2)
    expect(together.warnings).toEqual([])
  })

  it('does not mind boards of different exposure, and says where boards differ', async () => {
    const sheet = painted(600, 400, lamp, { noise: 0, colour: [0.5, 0.4, 0.3] })
    const exposures = [0.5, 0.8, 1].map((share, i) =>
      painted(600, 400, lamp, { colour: [0.8 * share, 0.78 * share, 0.75 * share], seed: i + 1 }),
    )
    const reading = await readingOf(exposures)
    expect(range(applied(sheet, reading).planes[1])).toBeLessThan(0.004)
    expect(reading.warnings).toEqual([])
    const moved = painted(600, 400, (u, v) => lamp(1 - u, v), { seed: 9 })
    expect((await readingOf([exposures[2], moved])).warnings.join()).toMatch(/differ by \d/)
  })

  it('says where the board was not moved: the same marks in every shot', async () => {
    const mark = (x: number, y: number) => (x > 120 && x < 240 && y > 80 && y < 150 ? 0.7 : 1)
    const shots = [1, 2, 3].map((seed) => painted(600, 400, lamp, { mark, seed }))
    expect((await readingOf(shots)).warnings.join()).toContain('Move the board between the captures')
  })

  it('refuses boards of different sizes', async () => {
    await expect(readingOf([painted(600, 400, lamp), painted(300, 200, lamp)])).rejects.toThrow(
      /board-2\.tif: it has another size than board-1\.tif/,
    )
  })

  it('takes a dark frame off, uneven as it is', async () => {
    const black = (u: number, v: number) => 0.02 + 0.04 * u * v
    const board = painted(600, 400, lamp, { black })
    const dark = painted(600, 400, () => [0, 0, 0], { black, seed: 4, noise: 0.002 })
    const sheet = painted(600, 400, lamp, { noise: 0, black, colour: [0.1, 0.1, 0.1] })
    const reading = await readingOf([board], [dark])
    const even = applied(sheet, reading)
    expect(range(even.planes[1])).toBeLessThan(0.012)
    expect(even.planes[1][220 * 600 + 270]).toBeCloseTo(0.1, 2)
    expect(range(applied(sheet, await readingOf([board])).planes[1])).toBeGreaterThan(0.1)
    const part = flatField
      .apply([tileSource(sheet)], reading, flatField.params.parse({}))[0]
      .region({ x: 301, y: 100, width: 7, height: 3 })
    expect(part.planes[2].slice(0, 7)).toEqual(even.planes[2].slice(100 * 600 + 301, 100 * 600 + 308))
    const statement = flatField
      .findings(reading, flatField.params.parse({}))
      .flatMap((finding) => (finding.kind === 'statement' ? [finding.text] : []))
    expect(statement.join()).toContain('dark-1.tif')
  })

  it('refuses a dark frame with light in it', async () => {
    await expect(readingOf([painted(300, 200, lamp)], [painted(300, 200, lamp)])).rejects.toThrow(
      /there is light in the dark frame/,
    )
  })
})

describe('what the files of boards and dark frames say', () => {
  const capture = (conditions: CaptureConditions): CaptureInfo => ({
    ...{ label: 'a.tif', width: 6, height: 4, turned: 0, conditions },
  })
  const usual = { fNumber: 8, focalMm: 60, timeS: 1 / 60, iso: 100 }

  it('is told where the board has other optics, and the dark frame another time or sensitivity', () => {
    const board = { label: 'board.tif', conditions: { ...usual, fNumber: 5.6, timeS: 1 / 8 } }
    const dark = { label: 'dark.tif', conditions: { ...usual, fNumber: 22, timeS: 1 / 8 } }
    const [first, second, ...more] = otherSettings([board], [dark], [capture(usual)])
    expect(first).toMatch(/board\.tif: .*aperture \(f\/\): 5\.6 instead of 8/)
    expect(second).toMatch(/dark\.tif: .*exposure time \(s\): 0\.125 instead of 0\.0167/)
    expect(more).toEqual([])
  })

  it('is nothing where they agree or do not say', () => {
    const board = { label: 'board.tif', conditions: { ...usual, fNumber: 8.02 } }
    expect(otherSettings([board, { label: 'bare.tif' }], [], [capture(usual), capture({})])).toEqual([])
  })
})

describe('overlaid', () => {
  it('takes the median of every pixel, worked by hand', () => {
    const plane = (...values: number[]) => Float32Array.from(values)
    const views = [
      [1, 2, 4],
      [2, 4, 8],
      [1, 9, 4],
    ].map((values) => [plane(...values), plane(...values), plane(...values)])
    // The second has twice the exposure; the third a mark at the second pixel.
    expect(overlaid(views).planes[1]).toEqual(plane(1, 2, 4))
  })
})
