import { describe, expect, it } from 'vitest'
import { WorkError } from '../../../src/errors.js'
import { reduce } from '../../../src/raster/reduce.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import type { CaptureInfo } from '../../../src/steps/contract.js'
import { placements } from '../../../src/steps/stitch/placements.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext, tileSource, wholeTile } from '../../helpers/readContext.js'
import { misplacement, type PointMap, through } from './misplacement.js'
import { captureField, type Field, type FieldCapture, paintedField, truthMatrix } from './paintedField.js'

const PARAMS = stitch.params.parse({})
const FIRST: FieldCapture = { width: 320, height: 260, x: 0, y: 0, rotationDeg: 0.5, noise: 0.004, seed: 1 }
const SECOND: FieldCapture = { ...FIRST, x: 220, y: 6, rotationDeg: -1, seed: 2 }

const readOf = (sources: readonly Source[], captures: readonly Partial<CaptureInfo>[] = []) =>
  stitch.read(sources, PARAMS, readContext(sources, { captures }))

const map = (tile: Tile, change: (value: number) => number): Source =>
  tileSource({ ...tile, planes: tile.planes.map((plane) => plane.map(change)) as Tile['planes'] })

const truths = [FIRST, SECOND].map((capture) => through(truthMatrix(capture)))

describe('captures that differ', () => {
  const [first, second] = [FIRST, SECOND].map((capture) => captureField(paintedField(4), capture))

  it('in exposure by four times are joined, with a warning that names the one', async () => {
    const dark = map(wholeTile(second), (value) => value / 4)
    const reading = await readOf([first, dark])
    expect(misplacement(placements(reading) as PointMap[], truths, [first, dark]).rmsPx).toBeLessThan(0.15)
    expect(reading.warnings.join()).toMatch(/capture-[12] is exposed very differently from the others/)
  })

  it('in exposure, one of three by four times: that one alone is named, and the sheet is as light as the others', async () => {
    const third = captureField(paintedField(4), { ...FIRST, x: -220, y: 3, seed: 3 })
    const sources = [first, map(wholeTile(second), (value) => value / 4), third]
    const { warnings, captures } = await readOf(sources)
    expect(warnings).toHaveLength(1)
    expect(warnings[0]).toMatch(
      /^capture-2 is exposed very differently from the others: (3.9|4.0|4.1) times darker/,
    )
    const gains = captures.map(({ placed }) => placed!.gain[1])
    expect(Math.max(Math.abs(gains[0] - 1), Math.abs(gains[2] - 1))).toBeLessThan(0.02)
    expect(gains[1] / 4).toBeCloseTo(1, 1)
  })

  it('in what they show where they meet: that the seam shows is said, with both their names', async () => {
    // White above 40 % of the light in one of the two: nothing can match that.
    const reading = await readOf([first, map(wholeTile(second), (value) => Math.min(1, 2.5 * value))])
    expect(reading.worstSeam!.after).toBeGreaterThan(3)
    expect(reading.warnings.join()).toMatch(/capture-1 and capture-2 differ so much .* that the seam shows/)
  })

  it('in resolution are brought to the finer one, and that is said', async () => {
    const halved = tileSource(reduce(wholeTile(second), 2))
    const reading = await readOf([first, halved], [{ ppi: 300 }, { ppi: 150 }])
    // A coarse pixel's middle lies between two fine ones'.
    const coarse: PointMap = (x, y) => truths[1](2 * x + 0.5, 2 * y + 0.5)
    const found = placements(reading) as PointMap[]
    expect(misplacement(found, [truths[0], coarse], [first, halved]).rmsPx).toBeLessThan(0.3)
    expect(reading.warnings.join()).toContain('all are brought to 300 ppi')
    expect(reading.ppi).toBe(300)
  })

  it('in depth, 8 bits beside 16, lie as they would, and that is said', async () => {
    const coarse = map(wholeTile(second), (value) => Math.round(255 * value ** (1 / 2.2)) / 255)
    const eight = map(wholeTile(coarse), (value) => value ** 2.2)
    const reading = await readOf([first, eight], [{ depth: 16 }, { depth: 8 }])
    const found = placements(reading) as PointMap[]
    expect(misplacement(found, truths, [first, eight]).rmsPx).toBeLessThan(0.15)
    expect(reading.warnings.join()).toContain('smooth washes of capture-2 may show steps')
  })
})

describe('an overlap of blank paper alone', () => {
  /** Paint left and right, and a strip of even paper between. */
  const paper: Field = {
    ...paintedField(4),
    at: (x, y) => (Math.abs(x - 110) < 62 ? [0.88, 0.86, 0.8] : paintedField(4).at(x, y)),
  }

  it('fixes no place: the capture is named', async () => {
    const sources = [FIRST, { ...SECOND, x: 222 }].map((capture) => captureField(paper, capture))
    const error: unknown = await readOf(sources).catch((e: unknown) => e)
    expect(error).toBeInstanceOf(WorkError)
    expect((error as WorkError).problems).toHaveLength(1)
    expect(String(error)).toContain('capture-1 finds no place beside capture-2')
    expect((error as WorkError).problems[0].todo).toContain('painted structure included')
  })
})
