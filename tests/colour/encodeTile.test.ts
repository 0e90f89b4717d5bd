import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../src/colour/captureSource.js'
import { encodeTile } from '../../src/colour/encodeTile.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { SPACE_NAMES } from '../../src/colour/spaces/SpaceName.js'
import { space } from '../../src/colour/spaces/space.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { workingTo } from '../../src/colour/working.js'
import { emptyRaster } from '../../src/raster/Raster.js'
import { emptyTile } from '../../src/raster/Tile.js'

const seeded = (seed: number) => () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0
  return seed / 2 ** 32
}

describe.each(SPACE_NAMES)('encoding in %s', (name) => {
  it('gives back every one of the 65,536 codes of a decoded grey', () => {
    const raster = emptyRaster(256, 256)
    for (let code = 0; code < 65536; code++) raster.data.fill(code, code * 3, code * 3 + 3)
    const back = emptyRaster(256, 256)
    const tile = captureSource(raster, spaceTransform(name)).region({ x: 0, y: 0, width: 256, height: 256 })
    expect(encodeTile(tile, name, back)).toEqual({ clippedLow: 0, clippedHigh: 0 })
    expect(Buffer.compare(Buffer.from(back.data.buffer), Buffer.from(raster.data.buffer))).toBe(0)
  })

  it('gives back any decoded colour, to the code where float32 has the room', () => {
    const random = seeded(11)
    const raster = emptyRaster(256, 256)
    for (let i = 0; i < raster.data.length; i++) raster.data[i] = random() * 65536
    const back = emptyRaster(256, 256)
    const tile = captureSource(raster, spaceTransform(name)).region({ x: 0, y: 0, width: 256, height: 256 })
    encodeTile(tile, name, back)
    let worst = 0
    let different = 0
    // Two matrices in float32 leave up to 2e-7 of light in a dark channel beside a light one; what that is in codes
    // depends on the curve's slope there.
    for (let i = 0; i < raster.data.length; i++) {
      const off = Math.abs(back.data[i] - raster.data[i])
      if (off) different++
      const light = space(name).decode(raster.data[i] / 65535)
      const room = 65535 * (space(name).encode(light + 2e-7) - space(name).encode(light))
      worst = Math.max(worst, off - Math.ceil(room))
    }
    expect(worst).toBeLessThanOrEqual(0)
    expect(different / raster.data.length).toBeLessThan(0.01)
  })

  it('lies within 0.51 codes of the analytic curve', () => {
    const random = seeded(12)
    const n = 100_000
    const tile = emptyTile({ x: 0, y: 0, width: n, height: 1 })
    for (const plane of tile.planes) for (let i = 0; i < n; i++) plane[i] = random() ** 4
    const target = emptyRaster(n, 1)
    encodeTile(tile, name, target)
    let worst = 0
    for (let i = 0; i < n; i++) {
      const working = tile.planes.map((plane) => plane[i]) as Vector3
      const linear = apply3(workingTo(name), working).map(Math.fround)
      for (let c = 0; c < 3; c++) {
        if (linear[c] < 0 || linear[c] > 1) continue
        worst = Math.max(worst, Math.abs(target.data[3 * i + c] - 65535 * space(name).encode(linear[c])))
      }
    }
    expect(worst).toBeLessThanOrEqual(0.51)
  })
})

describe('encoding', () => {
  it('rounds half up', () => {
    // ROMM RGB is the working space itself, and a straight line near black: 16 x 65535 codes a unit of light.
    const tile = emptyTile({ x: 0, y: 0, width: 3, height: 1 })
    const light = [3.49, 3.51, 4].map((code) => code / (16 * 65535))
    for (const plane of tile.planes) plane.set(light)
    const target = emptyRaster(3, 1)
    encodeTile(tile, 'ROMM RGB', target)
    expect([...target.data]).toEqual([3, 3, 3, 4, 4, 4, 4, 4, 4])
  })

  it('counts and holds what lies outside, but not the last bits of float32', () => {
    const tile = emptyTile({ x: 0, y: 0, width: 5, height: 1 })
    for (const plane of tile.planes) plane.set([-0.1, 1.1, 1 + 1e-6, -1e-7, Number.NaN])
    const target = emptyRaster(5, 1)
    expect(encodeTile(tile, 'ROMM RGB', target)).toEqual({ clippedLow: 6, clippedHigh: 3 })
    expect([...target.data].filter((_, i) => i % 3 === 0)).toEqual([0, 65535, 65535, 0, 0])
  })

  it('cuts a full working green off in sRGB: two channels below, one above', () => {
    const tile = emptyTile({ x: 0, y: 0, width: 1, height: 1 })
    tile.planes[1][0] = 1
    const target = emptyRaster(1, 1)
    expect(encodeTile(tile, 'sRGB', target)).toEqual({ clippedLow: 2, clippedHigh: 1 })
    expect([...target.data]).toEqual([0, 65535, 0])
  })

  it('writes at the tile’s place alone, and a tile asked alone as the whole', () => {
    const random = seeded(13)
    const raster = emptyRaster(37, 29)
    for (let i = 0; i < raster.data.length; i++) raster.data[i] = random() * 65536
    const source = captureSource(raster, spaceTransform('opRGB'))
    const whole = emptyRaster(37, 29)
    encodeTile(source.region({ x: 0, y: 0, width: 37, height: 29 }), 'Display P3', whole)
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 36 }),
        fc.integer({ min: 0, max: 28 }),
        fc.integer({ min: 1, max: 37 }),
        fc.integer({ min: 1, max: 29 }),
        (x, y, w, h) => {
          const rect = { x, y, width: Math.min(w, 37 - x), height: Math.min(h, 29 - y) }
          const part = emptyRaster(37, 29)
          encodeTile(source.region(rect), 'Display P3', part)
          for (let j = 0; j < 29; j++) {
            for (let i = 0; i < 37; i++) {
              const inside = i >= x && i < x + rect.width && j >= y && j < y + rect.height
              for (let s = (j * 37 + i) * 3; s < (j * 37 + i) * 3 + 3; s++) {
                if (part.data[s] !== (inside ? whole.data[s] : 0)) throw new Error(`sample ${s}`)
              }
            }
          }
        },
      ),
      { seed: 14, numRuns: 30 },
    )
  })
})
