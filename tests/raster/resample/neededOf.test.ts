import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Rect } from '../../../src/raster/Rect.js'
import { neededOf } from '../../../src/raster/resample/neededOf.js'
import { resized } from '../../../src/raster/resample/resized.js'
import type { Source } from '../../../src/raster/Source.js'
import { emptyTile } from '../../../src/raster/Tile.js'

/** A picture that remembers the box around everything it was asked for. */
function watched(width: number, height: number) {
  const box = { left: Number.POSITIVE_INFINITY, top: Number.POSITIVE_INFINITY, right: 0, foot: 0 }
  const source: Source = {
    ...{ width, height },
    region(rect) {
      box.left = Math.min(box.left, rect.x)
      box.top = Math.min(box.top, rect.y)
      box.right = Math.max(box.right, rect.x + rect.width)
      box.foot = Math.max(box.foot, rect.y + rect.height)
      return emptyTile(rect)
    },
  }
  return { source, box }
}

describe('what a region of a resized picture needs', () => {
  it('holds all that is asked for, mirrored borders too, and stays inside the picture', () => {
    const share = fc.double({ min: -0.2, max: 0.5, noNaN: true })
    const side = fc.integer({ min: 40, max: 160 })
    const asked = fc.record({ x: share, y: share, scale: fc.double({ min: 0.3, max: 3, noNaN: true }) })
    fc.assert(
      fc.property(side, side, asked, fc.nat(10), fc.nat(10), (width, height, { x, y, scale }, dx, dy) => {
        const crop: Rect = { x: x * width, y: y * height, width: width * 0.7, height: height * 0.7 }
        const size = { width: Math.round(crop.width / scale), height: Math.round(crop.height / scale) }
        const rect = {
          x: dx,
          y: dy,
          width: Math.min(9, size.width - dx),
          height: Math.min(9, size.height - dy),
        }
        fc.pre(rect.width > 0 && rect.height > 0)
        const { source, box } = watched(width, height)
        resized(source, crop, size.width, size.height).region(rect)
        const needed = neededOf({ width, height }, crop, size.width, size.height, rect)
        expect(needed.x).toBeLessThanOrEqual(box.left)
        expect(needed.y).toBeLessThanOrEqual(box.top)
        expect(needed.x + needed.width).toBeGreaterThanOrEqual(box.right)
        expect(needed.y + needed.height).toBeGreaterThanOrEqual(box.foot)
        expect(needed.x).toBeGreaterThanOrEqual(0)
        expect(needed.x + needed.width).toBeLessThanOrEqual(width)
        expect(needed.y + needed.height).toBeLessThanOrEqual(height)
      }),
      { numRuns: 200, seed: 6 },
    )
  })

  it('is little of a large picture', () => {
    const rect = { x: 500, y: 500, width: 10, height: 10 }
    const whole = { x: 0, y: 0, width: 4000, height: 4000 }
    const { width, height } = neededOf({ width: 4000, height: 4000 }, whole, 2000, 2000, rect)
    expect(Math.max(width, height)).toBeLessThan(45)
  })
})
