import { describe, expect, it } from 'vitest'
import { WorkError } from '../../../src/errors.js'
import { placements } from '../../../src/steps/stitch/placements.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { tileSource, wholeTile } from '../../helpers/readContext.js'
import { smallPainting } from './cutUps.js'
import { paintedFrames, readFrames } from './frames.js'
import { misplacement, type PointMap } from './misplacement.js'

const PARAMS = stitch.params.parse({})

describe('frames of a camera', () => {
  const frames = paintedFrames(smallPainting(), { seed: 3 })
  const { sources, reading } = readFrames(frames)

  it('lie within 0.3 px RMS and 0.7 px at the 95th percentile of the truth, after one affine map', async () => {
    const found = placements(await reading) as PointMap[]
    const { rmsPx, p95Px } = misplacement(
      found,
      frames.map(({ toPainting }) => toPainting),
      sources,
      'affine',
    )
    expect(rmsPx).toBeLessThan(0.3)
    expect(p95Px).toBeLessThan(0.7)
  })

  it('tell their lens, which is said', async () => {
    const { captures, statements } = await reading
    const { k1, k2 } = captures[0].placed!.lens!
    // In the corners 0.5 % of half the diagonal would be 1.7 px.
    expect(Math.abs(k1 + k2 - (-0.06 + 0.01))).toBeLessThan(0.005)
    expect(statements.join()).toContain('one lens for all: focal length')
  })

  it('have their lens’s loss of light evened out, to their corners, and with edges in sight nothing to warn of', async () => {
    const { captures, statements, warnings } = await reading
    for (const { placed } of captures) {
      // In the corners the painter leaves 85 % of the light.
      const corner = placed!.field![2] + placed!.field![4]
      expect(Math.abs(corner + Math.log(0.85))).toBeLessThan(0.02)
      for (const k of [0, 1, 3]) expect(Math.abs(placed!.field![k])).toBeLessThan(0.01)
    }
    expect(statements.join()).toMatch(/the lens darkens its frames’ corners by 1[3-7] %/)
    expect(warnings).toEqual([])
    expect(statements.join()).not.toContain('off square')
  })

  it('make a sheet whose tiles asked alone have the bits of the whole', async () => {
    const sheet = stitch.apply(sources, JSON.parse(JSON.stringify(await reading)), PARAMS)[0]
    const whole = tileSource(wholeTile(sheet))
    for (const rect of [
      { x: 0, y: 0, width: 64, height: 64 },
      { x: 301, y: 177, width: 200, height: 130 },
      { x: sheet.width - 90, y: sheet.height - 33, width: 90, height: 33 },
      { x: 400, y: 0, width: 1, height: sheet.height },
    ]) {
      expect(sheet.region(rect).planes).toEqual(whole.region(rect).planes)
    }
  })

  it('say once that a tilted sheet without edges in sight may be off square', async () => {
    const inside = paintedFrames(smallPainting(), {
      seed: 4,
      columns: 2,
      rows: 1,
      beyondPx: -40,
      tiltDeg: 10,
    })
    const { statements, warnings } = await readFrames(inside).reading
    expect(
      statements.filter((text) => /tilted by up to \d+ degrees.*a little off square/.test(text)),
    ).toHaveLength(1)
    expect(warnings).toEqual([])
  })

  it('are refused, by name, where one shows another picture', async () => {
    const stranger = paintedFrames({ ...smallPainting(), amounts: flipped() }, { seed: 8 })[1]
    const error: unknown = await readFrames([...frames.slice(0, 3), stranger]).reading.catch(
      (e: unknown) => e,
    )
    expect(error).toBeInstanceOf(WorkError)
    expect(String(error)).toContain('capture-4 finds no place')
  })
})

/** The small painting's paints seen in a mirror: another picture by the same hand. */
function flipped(): Float32Array[] {
  const { amounts, width } = smallPainting()
  return amounts.map((plane) => plane.map((_, i) => plane[i - (i % width) + width - 1 - (i % width)]))
}
