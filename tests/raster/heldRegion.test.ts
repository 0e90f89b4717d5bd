import { expect, it } from 'vitest'
import { seeded } from '../../demo-data/painter/seeded.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { type HeldPlanes, heldRegion, takePlanes } from '../../src/raster/heldRegion.js'
import { holding } from '../../src/raster/kernels/kernels.js'
import { emptyRaster } from '../../src/raster/Raster.js'
import type { Rect } from '../../src/raster/Rect.js'
import type { Source } from '../../src/raster/Source.js'

const random = seeded(14, 1)
const raster = emptyRaster(331, 160)
for (let i = 0; i < raster.data.length; i++) raster.data[i] = random.between(0, 65536)
const capture = captureSource(raster, spaceTransform('sRGB'))

const held = (source: Source, rect: Rect) => {
  const bytes = rect.width * rect.height * 4 + 16
  return holding([bytes, bytes, bytes], (...blocks) => {
    const planes = blocks as unknown as HeldPlanes
    heldRegion(source, rect, planes)
    return takePlanes(planes, rect.width * rect.height)
  })
}

it.each([
  { x: 0, y: 0, width: 331, height: 160 },
  { x: 5, y: 3, width: 211, height: 101 },
  { x: 40, y: 20, width: 17, height: 9 },
])('a region of a capture in kernel memory has the bits of its tile: $width x $height', (rect) => {
  expect(held(capture, rect)).toEqual(capture.region(rect).planes)
})

it('a picture made of another goes by its own regions', () => {
  const rect = { x: 0, y: 0, width: 300, height: 100 }
  const dark: Source = {
    ...capture,
    region: (asked) => {
      const tile = capture.region(asked)
      for (const plane of tile.planes) plane.fill(0.25)
      return tile
    },
  }
  for (const plane of held(dark, rect)) expect(new Set(plane)).toEqual(new Set([0.25]))
})

it('a region that leaves the capture is refused', () => {
  expect(() => held(capture, { x: 300, y: 0, width: 100, height: 100 })).toThrow(RangeError)
})
