import { describe, expect, it } from 'vitest'
import { placed, tileSource } from '../../src/raster/placed.js'
import { emptyTile } from '../../src/raster/Tile.js'

/** Columns and rows written into the red and green planes: 10 x 8 pixels of a picture, from 30, 20. */
function part() {
  const tile = emptyTile({ x: 30, y: 20, width: 10, height: 8 })
  for (let j = 0; j < 8; j++) {
    for (let i = 0; i < 10; i++) {
      tile.planes[0][j * 10 + i] = 30 + i
      tile.planes[1][j * 10 + i] = 20 + j
    }
  }
  return placed(tileSource(tile), tile.rect, { width: 100, height: 50 })
}

describe('a part of a picture', () => {
  it("answers in the whole picture's coordinates", () => {
    const source = part()
    expect([source.width, source.height]).toEqual([100, 50])
    const { rect, planes } = source.region({ x: 33, y: 25, width: 2, height: 2 })
    expect(rect).toEqual({ x: 33, y: 25, width: 2, height: 2 })
    expect([...planes[0]]).toEqual([33, 34, 33, 34])
    expect([...planes[1]]).toEqual([25, 25, 26, 26])
  })

  it('gives tiles that belong to the caller', () => {
    const source = part()
    const rect = { x: 30, y: 20, width: 10, height: 8 }
    source.region(rect).planes[0].fill(0)
    expect(source.region(rect).planes[0][1]).toBe(31)
  })

  it.each([
    { x: 29, y: 20, width: 2, height: 2 },
    { x: 39, y: 20, width: 2, height: 2 },
    { x: 30, y: 27, width: 2, height: 2 },
  ])('refuses %j, which it does not have', (rect) => {
    expect(() => part().region(rect)).toThrow(RangeError)
  })
})
