import { describe, expect, it } from 'vitest'
import type { CutTile } from '../../../demo-data/cutUp.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { sharper } from '../../../src/steps/stitch/seams/sharper.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { seamSteps } from '../../bench/seamSteps.js'
import { wholeTile } from '../../helpers/readContext.js'
import { read, smallTiles, sourceOf } from './cutUps.js'
import { energyInOverlap } from './energyInOverlap.js'

const PARAMS = stitch.params.parse({})
const SOFT = 1
const LAYOUT = { seed: 5, columns: 2, rows: 1, overlap: 0.3 }
const IN_FOCUS = { ...LAYOUT, blurPx: 0.6 }

const tilesOf = (request: Parameters<typeof smallTiles>[0], softPx: number): CutTile[] => {
  const soft = smallTiles({ ...request, blurPx: softPx })
  return smallTiles(request).map((tile, i) => (i === SOFT ? soft[i] : tile))
}

const sheetOf = (sources: readonly Source[], reading: StitchReading) =>
  wholeTile(stitch.apply(sources, reading, PARAMS)[0])

describe('where captures differ in sharpness', () => {
  const inFocus = read(smallTiles(IN_FOCUS))

  it.each([0.8, 1.7])('the sharper one wins; the other blurred by %f px', async (softPx) => {
    const same = await inFocus.reading
    const { sources, reading: taken } = read(tilesOf(IN_FOCUS, softPx))
    const reading = await taken
    // The seams as they would run if both were sharp.
    const unaware = { ...reading, layers: same.layers }
    expect([reading.width, reading.height]).toEqual([same.width, same.height])

    const ideal = sheetOf(inFocus.sources, reading)
    const [now, before] = [reading, unaware].map((how) => sheetOf(sources, how))
    const kept = (sheet: Tile) => energyInOverlap(sheet, reading) / energyInOverlap(ideal, reading)
    expect(kept(now)).toBeGreaterThan(0.85)
    // Most of what the unaware seam lost is there again.
    expect(1 - kept(now)).toBeLessThan(0.5 * (1 - kept(before)))

    const even = smallTiles({ ...IN_FOCUS, gainSpread: 0, noise: 0 }).map(sourceOf)
    const untouched = {
      ...reading,
      layers: reading.layers.map((layer) => ({ ...layer, coarse: undefined })),
      captures: reading.captures.map((capture) => ({
        ...capture,
        placed: { ...capture.placed!, gain: [1, 1, 1] as [number, number, number], field: undefined },
      })),
    }
    const truth = sheetOf(even, untouched)
    const step = (sheet: Tile, { layers }: StitchReading) => {
      const steps = seamSteps(sheet, truth, layers[0].seams)
      return steps.reduce((sum, value) => sum + value, 0) / steps.length
    }
    expect(step(now, reading)).toBeLessThan(Math.max(0.2, 1.2 * step(before, unaware)))
    expect(step(now, reading)).toBeLessThan(0.4)
  })

  it('says which one, and by how much', async () => {
    const { statements, warnings, sharpness } = await read(tilesOf(IN_FOCUS, 1.7)).reading
    expect(sharpness).toMatchObject([{ first: 0, second: 1, firstSharper: { share: 1 } }])
    // Gaussian blurs: variances add. The band lies about 1 radian a pixel, its lower half counts most.
    expect(sharpness![0].contrast).toBeGreaterThan(Math.exp(-(1.7 ** 2 - 0.6 ** 2) / 2))
    expect(sharpness![0].contrast).toBeLessThan(Math.exp(-((1.7 ** 2 - 0.6 ** 2) * 0.6 ** 2) / 2))
    expect(statements.join()).toMatch(
      /the sharper one is taken: capture-1 over capture-2 \(which has \d\d % of its fine/,
    )
    // One overlap alone cannot tell a capture out of focus from one whose border lifts.
    expect(warnings.join()).not.toContain('focus')
  })

  it('warns about a capture softer than all its neighbours', async () => {
    const { warnings } = await read(tilesOf({ ...IN_FOCUS, rows: 2, seed: 6 }, 1.5)).reading
    expect(warnings.join()).toMatch(/^capture-2 is out of focus: it has at most \d\d % of any neighbour/)
  })

  it('equal sharpness moves no seam, however noisy one of the two is', async () => {
    const quiet = smallTiles(IN_FOCUS)
    const noisy = smallTiles({ ...IN_FOCUS, noise: 0.02 })
    const reading = await read(quiet.map((tile, i) => (i === SOFT ? noisy[i] : tile))).reading
    expect(Object.keys(reading.sharpness![0]).join()).not.toContain('Sharper')
    expect([...reading.statements, ...reading.warnings].join()).not.toMatch(/sharp|focus/)
  })

  it('chance among windows is not taken for a difference', () => {
    const windows = [0.3, -0.25, 0.2, -0.3, 0.28, 0.1].map((log, i) => ({
      x: 40 * i,
      y: 0,
      log,
      unsure: 0.01,
    }))
    expect(sharper({ first: 0, second: 1, windows }, 200)(100, 0)).toBe(0)
    const sure = windows.map((window) => ({ ...window, log: 0.3 + window.log / 10 }))
    expect(sharper({ first: 0, second: 1, windows: sure }, 200)(100, 0)).toBeGreaterThan(0.2)
    // Noise could explain it all.
    const noisy = sure.map((window) => ({ ...window, unsure: 0.4 }))
    expect(sharper({ first: 0, second: 1, windows: noisy }, 200)(100, 0)).toBe(0)
  })

  it('differs across an overlap where the captures do', () => {
    const windows = Array.from({ length: 10 }, (_, i) => ({
      ...{ x: 100 * i, y: 0, unsure: 0.01 },
      log: 0.4 * Math.tanh((i - 4.5) / 2),
    }))
    const by = sharper({ first: 0, second: 1, windows }, 150)
    expect(by(0, 0)).toBeLessThan(-0.05)
    expect(by(900, 0)).toBeGreaterThan(0.05)
    expect(by(450, 0)).toBe(0)
  })
})
