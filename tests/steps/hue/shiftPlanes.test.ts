import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Vector3 } from '../../../src/colour/matrix3.js'
import { oklchToWorking, workingToOklch } from '../../../src/colour/oklch.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { NAMED_HUES } from '../../../src/steps/hue/namedHues.js'
import { type Params, paramsSchema } from '../../../src/steps/hue/params.js'
import { rules } from '../../../src/steps/hue/rules.js'
import { shiftPlanes } from '../../../src/steps/hue/shiftPlanes.js'
import { FULL_CHROMA, NEUTRAL_CHROMA } from '../../../src/steps/hue/weight.js'

const params = (...entries: object[]): Params => paramsSchema.parse(entries)

/** Colours in Oklch, shifted, in Oklch again; float32 between. */
function shifted(colours: readonly Vector3[], given: Params): Vector3[] {
  const { planes } = tileOf(colours)
  shiftPlanes(planes, rules(given))
  return colours.map((_, i) => workingToOklch(planes.map((plane) => plane[i]) as Vector3))
}

function tileOf(colours: readonly Vector3[]): Tile {
  const tile = emptyTile({ x: 0, y: 0, width: colours.length, height: 1 })
  colours.forEach((colour, i) => {
    oklchToWorking(colour).forEach((value, c) => {
      tile.planes[c][i] = value
    })
  })
  return tile
}

const changedAt = (before: Tile, after: Tile, i: number) =>
  before.planes.some((plane, c) => !Object.is(plane[i], after.planes[c][i]))

describe('at the middle of an entry', () => {
  it('hue, chroma and lightness change by what it says', () => {
    const [[lightness, chroma, hue]] = shifted(
      [[0.55, 0.12, 264]],
      params({ around: 264, width: 50, shift: -6, chroma: '80%', lightness: 5 }),
    )
    expect(lightness).toBeCloseTo(0.6, 5)
    expect(chroma).toBeCloseTo(0.096, 5)
    expect(hue).toBeCloseTo(258, 3)
  })

  it('as colorjs.io sees it', () => {
    const { planes } = tileOf([[0.5, 0.15, 30]])
    shiftPlanes(planes, rules(params({ around: 30, shift: 10 })))
    const theirs = new Color('prophoto-linear', planes.map((plane) => plane[0]) as Vector3).to('oklch').coords
    expect(theirs[0]).toBeCloseTo(0.5, 4)
    expect(theirs[1]).toBeCloseTo(0.15, 4)
    expect(theirs[2]).toBeCloseTo(40, 1)
  })
})

describe('away from the middle', () => {
  const entry = params({ around: 264, width: 50, shift: -8 })
  const turn = (away: number) => {
    const [[, , hue]] = shifted([[0.55, 0.12, 264 + away]], entry)
    return hue - 264 - away
  }

  it('the effect follows a raised cosine: half of it at a quarter of the width', () => {
    for (const away of [-24, -20, -12.5, -5, 0, 5, 12.5, 20, 24]) {
      const wanted = -8 * (0.5 + 0.5 * Math.cos((Math.PI * away) / 25))
      expect(turn(away)).toBeCloseTo(wanted, 3)
    }
    expect(turn(12.5)).toBeCloseTo(-4, 3)
  })

  it('and other hues keep every bit', () => {
    const colours = Array.from({ length: 720 }, (_, i): Vector3 => [0.6, 0.1, i / 2])
    const before = tileOf(colours)
    const after = tileOf(colours)
    shiftPlanes(after.planes, rules(entry))
    colours.forEach(([, , hue], i) => {
      const inside = Math.abs(hue - 264) < 25
      expect(changedAt(before, after, i), `hue ${hue}`).toBe(inside)
    })
  })

  it('neighbouring hues keep their order up to the steepest shift that is not warned of', () => {
    const steepest = params({ around: 90, width: 60, shift: 60 / Math.PI - 0.01 })
    const hues = shifted(
      Array.from({ length: 240 }, (_, i): Vector3 => [0.7, 0.1, 50 + i / 3]),
      steepest,
    )
    for (let i = 1; i < hues.length; i++) expect(hues[i][2]).toBeGreaterThan(hues[i - 1][2])
  })
})

describe('neutrals', () => {
  it('keep every bit up to the stated chroma, whatever their hue and lightness', () => {
    const colours = fc.tuple(
      fc.double({ min: 0, max: 1.2, noNaN: true }),
      fc.double({ min: 0, max: NEUTRAL_CHROMA * 0.99, noNaN: true }),
      fc.double({ min: 0, max: 360, noNaN: true }),
    ) as fc.Arbitrary<Vector3>
    const everything = rules(params({ around: 0, width: 360, shift: 20, chroma: '50%', lightness: 10 }))
    fc.assert(
      fc.property(colours, (colour) => {
        const before = tileOf([colour])
        const after = tileOf([colour])
        shiftPlanes(after.planes, everything)
        expect(changedAt(before, after, 0)).toBe(false)
      }),
      { seed: 31, numRuns: 500 },
    )
  })

  it('pass into colours without a step', () => {
    const chromas = Array.from({ length: 400 }, (_, i) => (i * (FULL_CHROMA * 1.2)) / 400)
    const results = shifted(
      chromas.map((chroma): Vector3 => [0.6, chroma, 140]),
      params({ around: 140, chroma: '200%' }),
    )
    for (let i = 1; i < results.length; i++) {
      const rise = results[i][1] - results[i - 1][1]
      expect(rise).toBeGreaterThan(0)
      // At most the factor, and the weight's steepest rise times the chroma there.
      expect(rise).toBeLessThan(5 * (chromas[1] - chromas[0]))
    }
  })

  it('a colour just past the quick test is still worked out', () => {
    const before = tileOf([[1, FULL_CHROMA, 110]])
    const after = tileOf([[1, FULL_CHROMA, 110]])
    shiftPlanes(after.planes, rules(params({ around: 110, shift: 5 })))
    expect(changedAt(before, after, 0)).toBe(true)
  })
})

describe('entries that overlap', () => {
  const blue = { around: 264, width: 60, shift: -4, chroma: '90%' }
  const violet = { around: 290, width: 60, shift: 6, chroma: '120%', lightness: 2 }

  it('are weighed on the colour as it came in: hue and lightness add, chroma multiplies', () => {
    const hue = 276
    const weights = [hue - 264, hue - 290].map((away) => 0.5 + 0.5 * Math.cos((Math.PI * away) / 30))
    const [[lightness, chroma, after]] = shifted([[0.5, 0.12, hue]], params(blue, violet))
    expect(after - hue).toBeCloseTo(-4 * weights[0] + 6 * weights[1], 3)
    expect(chroma).toBeCloseTo(0.12 * (1 - 0.1 * weights[0]) * (1 + 0.2 * weights[1]), 5)
    expect(lightness).toBeCloseTo(0.5 + 0.02 * weights[1], 5)
  })

  it('do not mind their order', () => {
    const colours = Array.from({ length: 90 }, (_, i): Vector3 => [0.5, 0.12, 230 + i])
    const one = tileOf(colours)
    const other = tileOf(colours)
    shiftPlanes(one.planes, rules(params(blue, violet)))
    shiftPlanes(other.planes, rules(params(violet, blue)))
    one.planes.forEach((plane, c) => {
      plane.forEach((value, i) => {
        expect(Math.abs(value - other.planes[c][i])).toBeLessThan(1e-6)
      })
    })
  })
})

describe('named hues', () => {
  it('are the Oklch angles of the colours they stand for, as colorjs.io has them', () => {
    const colours = {
      red: 'rgb(255 0 0)',
      yellow: 'rgb(255 255 0)',
      green: 'rgb(0 255 0)',
      cyan: 'rgb(0 255 255)',
      blue: 'rgb(0 0 255)',
      magenta: 'rgb(255 0 255)',
    } as const
    for (const [name, css] of Object.entries(colours)) {
      const theirs = new Color(css).to('oklch').coords[2] as number
      expect(NAMED_HUES[name as keyof typeof colours]).toBeCloseTo(theirs, 3)
    }
  })

  it('go round the circle in order', () => {
    const angles = Object.values(NAMED_HUES)
    expect(angles).toEqual([...angles].sort((a, b) => a - b))
  })
})

it('light outside 0..1 stays finite', () => {
  const tile = emptyTile({ x: 0, y: 0, width: 4, height: 1 })
  tile.planes[0].set([-0.1, 0, 2, 0.5])
  tile.planes[1].set([0.2, 0, 1.5, -0.05])
  tile.planes[2].set([0.1, 0, -0.2, 3])
  shiftPlanes(
    tile.planes,
    rules(params({ around: 0, width: 360, shift: 30, chroma: '150%', lightness: -20 })),
  )
  for (const plane of tile.planes) for (const value of plane) expect(Number.isFinite(value)).toBe(true)
})
