import { describe, expect, it } from 'vitest'
import { captureSource } from '../../src/colour/captureSource.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { space } from '../../src/colour/spaces/space.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { toWorking } from '../../src/colour/working.js'
import { emptyRaster } from '../../src/raster/Raster.js'

const raster = emptyRaster(5, 4)
for (let i = 0; i < raster.data.length; i++) raster.data[i] = (i * 7919) % 65536
const source = captureSource(raster, spaceTransform('opRGB'))

describe('a capture as a source', () => {
  it('is the space’s curve and matrix, pixel by pixel', () => {
    const { planes } = source.region({ x: 0, y: 0, width: 5, height: 4 })
    for (let i = 0; i < 20; i++) {
      const encoded = [0, 1, 2].map((c) => space('opRGB').decode(raster.data[3 * i + c] / 65535)) as Vector3
      apply3(toWorking('opRGB'), encoded).forEach((value, c) => {
        expect(Math.abs(planes[c][i] - value)).toBeLessThan(2e-7)
      })
    }
  })

  it('gives the same bits in whatever rectangle', () => {
    const whole = source.region({ x: 0, y: 0, width: 5, height: 4 })
    const part = source.region({ x: 1, y: 2, width: 3, height: 2 })
    expect(part.rect).toEqual({ x: 1, y: 2, width: 3, height: 2 })
    part.planes.forEach((plane, c) => {
      const rows = [11, 16].flatMap((at) => [...whole.planes[c].subarray(at, at + 3)])
      expect([...plane]).toEqual(rows)
    })
  })

  it.each([
    { x: -1, y: 0, width: 2, height: 2 },
    { x: 4, y: 0, width: 2, height: 2 },
    { x: 0, y: 3, width: 1, height: 2 },
  ])('refuses a rectangle that leaves the picture: %o', (rect) => {
    expect(() => source.region(rect)).toThrow(RangeError)
  })
})
