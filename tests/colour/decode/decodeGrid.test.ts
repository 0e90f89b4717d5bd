import { expect, it } from 'vitest'
import { curveTable } from '../../../src/colour/curves/curveTable.js'
import { decodeGrid } from '../../../src/colour/decode/decodeGrid.js'
import { decodeGridRow } from '../../../src/colour/decode/decodeGridRow.js'
import type { InputTransform } from '../../../src/colour/InputTransform.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { emptyTile } from '../../../src/raster/Tile.js'

let state = 71
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0
  return state / 2 ** 32
}
const raster = emptyRaster(401, 311)
for (let i = 0; i < raster.data.length; i++) {
  // A quarter greys, where all three fractions are alike; a quarter at the cube's faces; the rest anything.
  const kind = Math.floor(i / 3) % 4
  if (kind === 0 && i % 3) raster.data[i] = raster.data[i - 1]
  else raster.data[i] = kind === 1 && random() < 0.5 ? (random() < 0.5 ? 0 : 65535) : random() * 65536
}

it.each([2, 5, 33])(
  'decoding through a grid of %i nodes by the kernel has the bits of plain TypeScript',
  (size) => {
    const grid = Float32Array.from({ length: size ** 3 * 3 }, () => random() * 1.2 - 0.1)
    const same = curveTable((x) => x)
    const transform: InputTransform & { kind: 'grid' } = {
      ...{ kind: 'grid', size, grid },
      curves: [same, curveTable((x) => x ** 1.7), same],
    }
    for (const rect of [
      { x: 0, y: 0, width: 401, height: 311 },
      { x: 7, y: 3, width: 333, height: 301 },
      { x: 1, y: 9, width: 21, height: 3 },
    ]) {
      const tile = emptyTile(rect)
      decodeGrid(raster, transform, tile)
      const wanted = emptyTile(rect)
      for (let row = 0; row < rect.height; row++) {
        const from = ((rect.y + row) * raster.width + rect.x) * 3
        decodeGridRow(raster.data, from, transform, wanted.planes, row * rect.width, rect.width)
      }
      tile.planes.forEach((plane, c) => {
        expect(Buffer.compare(Buffer.from(plane.buffer), Buffer.from(wanted.planes[c].buffer))).toBe(0)
      })
    }
  },
)
