import { describe, expect, it } from 'vitest'
import { paint } from '../../../demo-data/paint.js'
import { placements } from '../../../src/steps/stitch/placements.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext } from '../../helpers/readContext.js'
import { smallPainting, smallTiles, sourceOf } from './cutUps.js'
import { paintedFrames, readFrames } from './frames.js'
import { misplacement, type PointMap } from './misplacement.js'

const PARAMS = stitch.params.parse({})
/** The small painting is 900 px wide at 300 ppi. */
const WIDTH_MM = (900 / 300) * 25.4

/** Turn and scale of what was found against the truth, taken over the first capture. */
function against(found: PointMap, truth: PointMap) {
  const vector = (map: PointMap) => {
    const [[ax, ay], [bx, by]] = [map(20, 20), map(320, 220)]
    return { length: Math.hypot(bx - ax, by - ay), angle: Math.atan2(by - ay, bx - ax) }
  }
  const [a, b] = [vector(found), vector(truth)]
  return { scale: a.length / b.length, turnDeg: ((a.angle - b.angle) * 180) / Math.PI }
}

describe('a sheet whose edges are seen on the scanner’s bed', () => {
  const tiles = smallTiles({ seed: 21, columns: 2, rows: 1, beyondPx: 45, surround: 0.03, rotationDeg: 3 })
  const sources = tiles.map(sourceOf)
  const truth = ([a, b, c, d, e, f]: (typeof tiles)[number]['toPainting']): PointMap => {
    return (x, y) => [a * x + b * y + c, d * x + e * y + f]
  }

  it('is made square to them, and its size fixes the scale within 0.1 %', async () => {
    const context = readContext(sources, { ppi: 300, sheetSizeMm: { width: WIDTH_MM } })
    const reading = await stitch.read(sources, PARAMS, context)
    const found = placements(reading) as PointMap[]
    const { scale, turnDeg } = against(found[0], truth(tiles[0].toPainting))
    // A hundredth of a degree is 0.15 px over this sheet.
    expect(Math.abs(turnDeg)).toBeLessThan(0.02)
    expect(Math.abs(reading.ppi! / (300 * scale) - 1)).toBeLessThan(0.001)
    expect(reading.statements.join()).toContain('square to its own edges (top, right, bottom, left)')
    // Half a millimetre of the stated size, as a standard deviation of what is rounded.
    expect(reading.scaleUncertainty).toBeCloseTo(0.5 / Math.sqrt(3) / WIDTH_MM, 3)
    expect(stitch.findings(reading, PARAMS)).toContainEqual(
      expect.objectContaining({ name: 'scale uncertainty', unit: '%' }),
    )
  })
})

describe('a sheet whose edges are not seen', () => {
  it('is square to its captures’ mean axis, its scale as uncertain as their scales say', async () => {
    const sources = smallTiles({ seed: 22, columns: 2, rows: 1 }).map(sourceOf)
    const reading = await stitch.read(sources, PARAMS, readContext(sources, { ppi: 300 }))
    const [a, b] = reading.captures.map(({ placed }) => placed!.rotationDeg)
    expect(a + b).toBeCloseTo(0, 6)
    expect(reading.ppi).toBe(300)
    expect(reading.scaleUncertainty).toBeLessThan(0.002)
    expect(reading.statements.join()).toContain('mean axis of its captures')
  })
})

describe('two frames whose tilts the windows alone leave open', () => {
  const frames = paintedFrames(smallPainting(), { seed: 5, columns: 2, rows: 1, beyondPx: 70 })

  it('are settled by the sheet’s edges; its size fixes the scale within 0.3 %', async () => {
    const { sources, reading } = readFrames(frames, { sheetSizeMm: { width: WIDTH_MM } })
    const found = placements(await reading) as PointMap[]
    const truth = frames.map(({ toPainting }) => toPainting)
    const { rmsPx, p95Px } = misplacement(found, truth, sources, 'affine')
    expect(rmsPx).toBeLessThan(0.3)
    expect(p95Px).toBeLessThan(0.7)
    const { scale, turnDeg } = against(found[0], truth[0])
    expect(Math.abs(turnDeg)).toBeLessThan(0.05)
    expect(Math.abs((await reading).ppi! / (300 * scale) - 1)).toBeLessThan(0.003)
  })

  it('say that frames tell no scale where no size is stated', async () => {
    const said = (await readFrames(frames).reading).statements.join()
    expect(said).toContain('tell no scale')
  })
})

describe('straight lines of the painting', () => {
  it('are not taken for the sheet’s edges where paper lies outside them', async () => {
    // A painting with its own frame line: paper, a pencil line, then the picture, and no bed to be seen.
    const painting = paint({ seed: 7, width: 900, height: 600, ppi: 300, sheet: 'smooth' })
    const amounts = painting.amounts.map((plane, p) =>
      plane.map((value, i) => {
        const [x, y] = [i % 900, Math.floor(i / 900)]
        const room = Math.min(x, y, 899 - x, 599 - y)
        if (room > 24) return value
        return p === 0 && room > 21 ? 3 : 0
      }),
    )
    const frames = paintedFrames(
      { ...painting, amounts },
      { seed: 4, beyondPx: -12, tiltDeg: 4, jitter: 0.01 },
    )
    const { sources, reading } = readFrames(frames)
    const found = placements(await reading) as PointMap[]
    const truth = frames.map(({ toPainting }) => toPainting)
    // Square to the line or to the frames: either way the frames lie right.
    expect(misplacement(found, truth, sources, 'affine').rmsPx).toBeLessThan(0.3)
  })
})
