import { expect, it } from 'vitest'
import { space } from '../../../src/colour/spaces/space.js'
import { kernels, scratch } from '../../../src/raster/kernels/kernels.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { LOG_OFFSET, LUMINANCE, logLuminance } from '../../../src/steps/paper-texture/logLuminance.js'

it('weighs the channels as ISO 22028-2 has them', () => {
  const toXyz = space('ROMM RGB').toXyzD50
  LUMINANCE.forEach((weight, c) => {
    expect(Math.abs(weight - toXyz[3 + c])).toBeLessThan(1e-4)
  })
})

it('agrees with Math.log2 over twelve stops, and holds what is negative at the offset', () => {
  const values = Float32Array.from({ length: 1000 }, (_, i) => (i === 0 ? -0.2 : 2 ** (i / 80 - 10)))
  const tile: Tile = { rect: { x: 0, y: 0, width: 100, height: 10 }, planes: [values, values, values] }
  const logs = logLuminance(tile)
  const weight = LUMINANCE[0] + LUMINANCE[1] + LUMINANCE[2]
  for (let i = 0; i < values.length; i++) {
    const expected = Math.log2(Math.max(values[i] * weight, 0) + LOG_OFFSET)
    expect(Math.abs(logs[i] - expected)).toBeLessThan(1e-6)
  }
})

it('agrees with two to the power over forty stops, relative error below 1e-6', () => {
  const count = 4000
  const [red, green, blue, y, clean, ratio] = scratch(...Array.from({ length: 6 }, () => count * 4))
  const { memory, recolour } = kernels()
  const plane = (offset: number) => new Float32Array(memory.buffer, offset, count)
  const exponents = Float32Array.from({ length: count }, (_, i) => i / 100 - 20)
  plane(clean).set(exponents)
  for (const offset of [y, ratio]) plane(offset).fill(0)
  for (const offset of [red, green, blue]) plane(offset).fill(1)
  recolour(red, green, blue, y, clean, ratio, ratio, ratio, ratio, count, ...LUMINANCE, 0, 0, 1, 0, y)
  const powers = plane(green)
  for (let i = 0; i < count; i++) expect(Math.abs(powers[i] / 2 ** exponents[i] - 1)).toBeLessThan(1e-6)
})
