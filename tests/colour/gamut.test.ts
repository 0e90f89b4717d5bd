import Color from 'colorjs.io'
import { describe, expect, it } from 'vitest'
import { outsideShare, smallestSpace } from '../../src/colour/gamut.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { SPACE_NAMES, type SpaceName } from '../../src/colour/spaces/SpaceName.js'
import { toWorking } from '../../src/colour/working.js'
import { emptyTile, type Tile } from '../../src/raster/Tile.js'

/** A tile of one colour, given as linear RGB of a space, with some of its pixels in another. */
function tileOf(name: SpaceName, linear: Vector3, others = 0, other: Vector3 = [0, 0, 0]): Tile {
  const tile = emptyTile({ x: 0, y: 0, width: 100, height: 100 })
  const [most, few] = [apply3(toWorking(name), linear), apply3(toWorking(name), other)]
  tile.planes.forEach((plane, c) => {
    plane.fill(most[c])
    // Whole blocks, which averaging leaves as they are.
    for (let i = 0; i < others; i++) plane[Math.floor(i / 4) * 100 + (i % 4)] = few[c]
  })
  return tile
}

/** Strong colours that each space holds and the one before does not (seen from their chromaticities). */
const STRONG: Record<SpaceName, Vector3> = {
  sRGB: [0.9, 0.05, 0.05],
  'Display P3': [0.9, 0.02, 0.02],
  opRGB: [0.02, 0.8, 0.05],
  'ROMM RGB': [0.05, 0.05, 0.8],
}

describe('what lies outside a space', () => {
  it('is nothing of a space’s own colours, its primaries included', () => {
    for (const name of SPACE_NAMES) {
      for (const primary of [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
        [1, 1, 1],
        [0, 0, 0],
      ] as Vector3[]) {
        expect(outsideShare(tileOf(name, primary), name)).toEqual({ share: 0, meanDeltaE: 0, maxDeltaE: 0 })
      }
    }
  })

  it('is the share of the pixels that lie there, and how far', () => {
    const tile = tileOf('Display P3', [0.2, 0.2, 0.2], 25, [0, 0.8, 0])
    const { share, meanDeltaE, maxDeltaE } = outsideShare(tile, 'sRGB')
    expect(share).toBeCloseTo(25 / 10_000, 12)
    const colour = new Color('p3-linear', [0, 0.8, 0])
    const cut = new Color(
      'srgb-linear',
      colour.to('srgb-linear').coords.map((c) => Math.min(1, Math.max(0, c!))) as Vector3,
    )
    expect(maxDeltaE).toBeCloseTo(colour.deltaE2000(cut), 1)
    expect(meanDeltaE).toBeCloseTo(maxDeltaE, 5)
  })

  it('takes no account of light above white, which no space holds', () => {
    expect(outsideShare(tileOf('sRGB', [1.3, 1.3, 1.3]), 'sRGB').share).toBe(0)
  })
})

describe('the smallest space that holds a picture', () => {
  it.each(SPACE_NAMES)('is %s for its own strong colour', (name) => {
    const { space, why } = smallestSpace([tileOf(name, STRONG[name])])
    expect(space).toBe(name)
    expect(why).toMatch(new RegExp(`^${name}: `))
  })

  it('leaves out 0.01 % of the picture and no more', () => {
    const grey = Array.from({ length: 24 }, () => tileOf('Display P3', [0.2, 0.2, 0.2]))
    const few = tileOf('Display P3', [0.2, 0.2, 0.2], 16, [0, 0.8, 0])
    const many = tileOf('Display P3', [0.2, 0.2, 0.2], 64, [0, 0.8, 0])
    expect(smallestSpace([...grey, few]).space).toBe('sRGB')
    expect(smallestSpace([...grey, many]).space).toBe('Display P3')
  })

  it('is not moved by the noise of single pixels', () => {
    const tile = tileOf('sRGB', [0.85, 0.84, 0.82])
    let state = 3
    for (const plane of tile.planes) {
      for (let i = 0; i < plane.length; i++) {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0
        plane[i] += 0.04 * (state / 2 ** 32 - 0.5)
      }
    }
    expect(smallestSpace([tile]).space).toBe('sRGB')
  })

  it('states its reason with numbers', () => {
    const { why, shares } = smallestSpace([tileOf('Display P3', [0.2, 0.2, 0.2], 160, [0, 0.8, 0])])
    expect(shares.sRGB.share).toBeCloseTo(0.016, 10)
    expect(why).toMatch(
      /^Display P3: the smallest .* sRGB would cut off 1\.6 % of it, by up to \d\.\d dE2000$/,
    )
  })
})
