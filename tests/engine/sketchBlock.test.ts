import { expect, test } from 'vitest'
import { seeded } from '../../demo-data/painter/seeded.js'
import { sketchBlock } from '../../src/engine/sketchBlock.js'
import { tilesOf } from '../../src/engine/tilesOf.js'
import { emptyTile } from '../../src/raster/Tile.js'
import { tileSource } from '../helpers/readContext.js'

const random = seeded(5, 1)
const tile = emptyTile({ x: 0, y: 0, width: 103, height: 58 })
for (const plane of tile.planes) for (let i = 0; i < plane.length; i++) plane[i] = random.between(0, 1)
const source = tileSource(tile)

test.each([1, 2, 3, 4, 5])('factor %i: a row is the mean of two picture rows about its middle', (factor) => {
  const [width, height] = [Math.ceil(103 / factor), Math.ceil(58 / factor)]
  const view = sketchBlock(source, { x: 0, y: 0, width, height }, factor)
  const [i, j] = [Math.floor(width / 2), Math.floor(height / 3)]
  const top = j * factor + Math.max(0, (factor >> 1) - 1)
  for (let c = 0; c < 3; c++) {
    let sum = 0
    for (let y = top; y < top + Math.min(2, factor); y++) {
      for (let x = i * factor; x < (i + 1) * factor; x++) sum += tile.planes[c][y * 103 + x]
    }
    expect(view.planes[c][j * width + i]).toBeCloseTo(sum / (factor * Math.min(2, factor)), 6)
  }
})

test.each([3, 5])('factor %i: a block has the same bits alone as in the whole view', (factor) => {
  const whole = sketchBlock(source, { x: 0, y: 0, width: 20, height: 11 }, factor)
  for (const rect of tilesOf(20, 11, 8)) {
    const block = sketchBlock(source, rect, factor)
    for (let c = 0; c < 3; c++) {
      for (let j = 0; j < rect.height; j++) {
        const from = (rect.y + j) * 20 + rect.x
        expect(block.planes[c].subarray(j * rect.width, (j + 1) * rect.width)).toEqual(
          whole.planes[c].subarray(from, from + rect.width),
        )
      }
    }
  }
})
