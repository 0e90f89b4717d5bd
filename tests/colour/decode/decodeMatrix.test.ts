import { describe, expect, it } from 'vitest'
import { curveTable } from '../../../src/colour/curves/curveTable.js'
import { decodeMatrix } from '../../../src/colour/decode/decodeMatrix.js'
import { decodeMatrixRow } from '../../../src/colour/decode/decodeMatrixRow.js'
import type { InputTransform } from '../../../src/colour/InputTransform.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { emptyTile } from '../../../src/raster/Tile.js'

type MatrixTransform = InputTransform & { kind: 'matrix' }

const raster = emptyRaster(401, 211)
let state = 51
for (let i = 0; i < raster.data.length; i++) {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0
  raster.data[i] = state >>> 16
}

const own: MatrixTransform = {
  kind: 'matrix',
  curves: [curveTable((x) => x ** 2.2), curveTable((x) => x ** 1.8), curveTable((x) => 0.9 * x + 0.05)],
  matrix: [0.7, 0.2, 0.1, 0.15, 0.9, -0.05, 0.02, -0.12, 1.1],
}

describe.each([
  ['one curve', spaceTransform('sRGB') as MatrixTransform],
  ['three curves', own],
])('decoding by %s and a matrix', (_name, transform) => {
  it.each([
    { x: 0, y: 0, width: 401, height: 211 },
    { x: 3, y: 5, width: 131, height: 67 },
    { x: 200, y: 1, width: 57, height: 200 },
    { x: 9, y: 9, width: 2, height: 3 },
  ])('by the kernel has the bits of plain TypeScript, %o', (rect) => {
    const tile = emptyTile(rect)
    decodeMatrix(raster, transform, tile)
    const wanted = emptyTile(rect)
    for (let row = 0; row < rect.height; row++) {
      const from = ((rect.y + row) * raster.width + rect.x) * 3
      decodeMatrixRow(raster.data, from, transform, wanted.planes, row * rect.width, rect.width)
    }
    tile.planes.forEach((plane, c) => {
      expect(Buffer.compare(Buffer.from(plane.buffer), Buffer.from(wanted.planes[c].buffer))).toBe(0)
    })
  })
})
