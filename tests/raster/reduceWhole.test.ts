import { expect, it } from 'vitest'
import { seeded } from '../../demo-data/painter/seeded.js'
import { reduceWhole } from '../../src/raster/reduceWhole.js'
import { emptyTile } from '../../src/raster/Tile.js'
import { tileSource } from '../helpers/readContext.js'

const random = seeded(15, 1)

it.each([
  [1, 50, 20],
  [4, 800, 403],
  [7, 61, 44],
])('blocks of %i are their means, partial ones over what they have', (factor, width, height) => {
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (const plane of tile.planes) for (let i = 0; i < plane.length; i++) plane[i] = random.between(-0.1, 1)
  const { rect, planes } = reduceWhole(tileSource(tile), factor)
  expect(rect).toEqual({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  for (const [c, plane] of planes.entries()) {
    const sums = new Float64Array(plane.length)
    const counts = new Float64Array(plane.length)
    for (const [i, value] of tile.planes[c].entries()) {
      const at = Math.floor(Math.floor(i / width) / factor) * rect.width + Math.floor((i % width) / factor)
      sums[at] += value
      counts[at]++
    }
    for (const [i, value] of plane.entries()) expect(Math.abs(value - sums[i] / counts[i])).toBeLessThan(2e-7)
  }
})
