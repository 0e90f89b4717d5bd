import Color from 'colorjs.io'
import { expect, it } from 'vitest'
import { toPicture8 } from '../../src/colour/toPicture8.js'
import { emptyTile } from '../../src/raster/Tile.js'

it('a tile becomes the 8-bit sRGB that colorjs.io says', () => {
  const tile = emptyTile({ x: 7, y: 9, width: 64, height: 1 })
  tile.planes.forEach((plane, c) => {
    for (let i = 0; i < 64; i++) plane[i] = 0.3 + 0.25 * Math.sin(i * 0.37 + c)
  })
  const { width, height, rgb } = toPicture8(tile)
  expect([width, height, rgb.length]).toEqual([64, 1, 192])
  for (let i = 0; i < 64; i++) {
    const theirs = new Color('prophoto-linear', [tile.planes[0][i], tile.planes[1][i], tile.planes[2][i]]).to(
      'srgb',
    ).coords
    theirs.forEach((value, c) => {
      const held = Math.min(255, Math.max(0, 255 * (value as number)))
      expect(Math.abs(rgb[3 * i + c] - held)).toBeLessThan(0.52)
    })
  }
})
