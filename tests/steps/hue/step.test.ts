import { describe, expect, it } from 'vitest'
import type { Vector3 } from '../../../src/colour/matrix3.js'
import { oklchToWorking } from '../../../src/colour/oklch.js'
import { emptyTile } from '../../../src/raster/Tile.js'
import { paramsSchema } from '../../../src/steps/hue/params.js'
import { hue } from '../../../src/steps/hue/step.js'
import { STEPS } from '../../../src/steps/registry.js'
import { readContext, tileSource, wholeTile } from '../../helpers/readContext.js'

/** Left third blue, the rest grey; the hue wanders a little. */
const tile = emptyTile({ x: 0, y: 0, width: 300, height: 210 })
for (let y = 0; y < 210; y++) {
  for (let x = 0; x < 300; x++) {
    const colour: Vector3 = x < 100 ? [0.5, 0.12, 262 + ((x * 7 + y * 3) % 9) / 2] : [0.8, 0.002, 90]
    oklchToWorking(colour).forEach((value, c) => {
      tile.planes[c][y * 300 + x] = value
    })
  }
}
const source = tileSource(tile)
const blueEntry = { around: 'blue', width: 50, shift: -4, chroma: '90%', lightness: 1 }

describe('the params', () => {
  it('have defaults that change nothing', () => {
    expect(paramsSchema.parse(undefined)).toEqual([])
    expect(paramsSchema.parse([{ around: 'blue' }])).toEqual([
      { around: 'blue', width: 60, shift: 0, chroma: 1, lightness: 0 },
    ])
    const [same] = hue.apply(
      [source],
      { sampledPixels: 0, entries: [] },
      paramsSchema.parse([{ around: 40 }]),
    )
    expect(same).toBe(source)
  })

  it('take the example of the design', () => {
    const example = [{ around: 'blue', width: 50, shift: -4, chroma: '100%', lightness: 0 }]
    expect(paramsSchema.parse(example)[0].shift).toBe(-4)
  })

  it.each([
    [{ around: 'blau' }, /red, orange, yellow/],
    [{ around: 400 }, /0 to 360/],
    [{ around: 'blue', chroma: 90 }, /percentage with its sign/],
    [{ around: 'blue', chroma: '-10%' }, /0% to 300%/],
    [{ around: 'blue', width: 0 }, /1 to 360/],
    [{ around: 'blue', shift: 200 }, /-180 to 180/],
    [{ around: 'blue', lightness: 80 }, /-50 to 50/],
    [{ around: 'blue', hue: 3 }, /hue/],
    [{}, /expected a hue/],
  ])('refuse %o', (entry, words) => {
    const result = paramsSchema.safeParse([entry])
    expect(result.success).toBe(false)
    expect(result.error!.message).toMatch(words)
  })
})

describe('the step', () => {
  it('is registered', () => expect(STEPS.get('hue')).toBe(hue))

  it('reads what share of the picture each entry touches, and how far', async () => {
    const params = paramsSchema.parse([blueEntry, { around: 30, shift: 2 }])
    const context = readContext([source])
    const reading = await hue.read([source], params, context)
    expect(reading.entries[0]).toMatchObject({ around: 'blue' })
    expect(reading.entries[0].share).toBeGreaterThan(0.25)
    expect(reading.entries[0].share).toBeLessThan(0.5)
    expect(reading.entries[0].meanDeltaE).toBeGreaterThan(1)
    expect(reading.entries[1]).toEqual({
      around: '30 degrees',
      middleDegrees: 30,
      share: 0,
      meanDeltaE: 0,
      maxDeltaE: 0,
    })
    expect(JSON.parse(JSON.stringify(reading))).toEqual(reading)
    expect(context.asked.reducedViews).toBe(0)
    expect(context.asked.regionPixels).toBeLessThanOrEqual(36 * 128 * 128)
  })

  it('samples no pixel twice, however small the picture', async () => {
    const params = paramsSchema.parse([blueEntry])
    for (const [width, height] of [
      [1, 1],
      [140, 5],
      [300, 210],
    ]) {
      const small = tileSource(source.region({ x: 0, y: 0, width, height }))
      const { sampledPixels } = await hue.read([small], params, readContext([small]))
      expect(sampledPixels).toBeGreaterThan(0)
      expect(sampledPixels).toBeLessThanOrEqual(width * height)
    }
  })

  it('reads nothing for an empty list', async () => {
    const context = readContext([source])
    expect(await hue.read([source], [], context)).toEqual({ sampledPixels: 0, entries: [] })
    expect(context.asked.regionPixels).toBe(0)
  })

  it('gives the same bits for a tile alone as for the whole', async () => {
    const params = paramsSchema.parse([blueEntry])
    const [shifted] = hue.apply([source], await hue.read([source], params, readContext([source])), params)
    const whole = tileSource(wholeTile(shifted))
    for (const rect of [
      { x: 0, y: 0, width: 1, height: 1 },
      { x: 90, y: 33, width: 21, height: 17 },
      { x: 13, y: 200, width: 287, height: 10 },
    ]) {
      expect(shifted.region(rect).planes).toEqual(whole.region(rect).planes)
    }
  })

  it('warns of a shift that lets hues change places, and of a hue the picture has not', async () => {
    const params = paramsSchema.parse([
      { around: 'blue', width: 30, shift: 20 },
      { around: 'red', shift: 5 },
    ])
    const findings = hue.findings(await hue.read([source], params, readContext([source])), params)
    const warnings = findings
      .filter(({ kind }) => kind === 'warning')
      .map((one) => (one as { text: string }).text)
    expect(warnings).toHaveLength(2)
    expect(warnings[0]).toMatch(
      /around blue: .* change places; shift by at most 9\.5 degrees, or widen it to 63/,
    )
    expect(warnings[1]).toMatch(/around red: 0\.00 % of the picture/)
  })

  it('states its numbers with units, and an empty list as such', async () => {
    const params = paramsSchema.parse([blueEntry])
    const findings = hue.findings(await hue.read([source], params, readContext([source])), params)
    expect(findings.filter(({ kind }) => kind === 'warning')).toEqual([])
    expect(findings.filter(({ kind }) => kind === 'number')).toMatchObject([
      { name: 'picture touched around blue', unit: '%' },
      { name: 'mean change around blue', unit: 'dE2000' },
    ])
    const plot = findings.find(({ kind }) => kind === 'plot') as { series: { points: [number, number][] }[] }
    const turnAt = (hue: number) => plot.series[0].points.find(([x]) => x === hue)![1]
    expect(turnAt(264)).toBeCloseTo(-4, 2)
    expect(turnAt(30)).toBe(0)
    expect(hue.findings({ sampledPixels: 0, entries: [] }, [])).toMatchObject([{ kind: 'statement' }])
  })
})
