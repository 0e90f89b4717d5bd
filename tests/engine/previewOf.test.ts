import { expect, it } from 'vitest'
import { previewOf } from '../../src/engine/previewOf.js'
import { emptyRaster } from '../../src/raster/Raster.js'

it('a preview keeps a flat colour, averages in light and has the shape of the picture', () => {
  const flat = emptyRaster(1001, 507)
  for (let i = 0; i < flat.data.length; i++) flat.data[i] = [40_000, 20_000, 60_000][i % 3]
  const { width, height, rgb } = previewOf(flat, 'sRGB', 200)
  expect([width, height]).toEqual([167, 85])
  for (let i = 0; i < rgb.length; i++) {
    expect(Math.abs(rgb[i] - [40_000, 20_000, 60_000][i % 3] / 257)).toBeLessThanOrEqual(1)
  }
  const lines = emptyRaster(900, 600)
  for (let i = 0; i < lines.data.length; i++) lines.data[i] = (Math.floor(i / 3) % 2) * 65535
  // Half of the light is code 188 of 255 (IEC 61966-2-1).
  for (const value of previewOf(lines, 'sRGB', 150).rgb) expect(Math.abs(value - 188)).toBeLessThanOrEqual(1)
  const small = emptyRaster(30, 20)
  small.data.fill(65535)
  expect(previewOf(small, 'opRGB', 560)).toMatchObject({ width: 30, height: 20 })
})
