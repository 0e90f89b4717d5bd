import { rasterRows } from '../colour/rasterRows.js'
import type { SpaceName } from '../colour/spaces/SpaceName.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import { toPicture8 } from '../colour/toPicture8.js'
import type { Picture8 } from '../findings.js'
import { holding, kernels } from '../raster/kernels/kernels.js'
import type { Raster } from '../raster/Raster.js'
import { emptyTile } from '../raster/Tile.js'

/**
 * A small view of a derivative for people to look at: two rows about each block's middle, averaged across in linear
 * light. It looks at a `2 / factor` share of the pixels that an exact average would.
 * @param longestPx of the view
 */
export function previewOf(raster: Raster, space: SpaceName, longestPx: number): Picture8 {
  const { width, height } = raster
  const factor = Math.max(1, Math.ceil(Math.max(width, height) / longestPx))
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const across = view.rect.width
  const source = rasterRows(raster, spaceTransform(space))
  const planeBytes = width * 4 + 16
  holding([3 * planeBytes, 3 * across * 8, ...source.blocks], (row, sums, ...blocks) => {
    const { memory, addRowBlocks } = kernels()
    source.begin(blocks)
    for (let j = 0; j < view.rect.height; j++) {
      const middle = Math.min(j * factor + Math.max(0, (factor >> 1) - 1), height - 1)
      const rows = Math.min(2, factor, height - middle)
      const added = new Float64Array(memory.buffer, sums, 3 * across).fill(0)
      for (let y = middle; y < middle + rows; y++) {
        source.read(y, 1, 0, width, row, planeBytes, 3 * planeBytes)
        for (let c = 0; c < 3; c++) addRowBlocks(row + c * planeBytes, width, factor, sums + c * across * 8)
      }
      view.planes.forEach((plane, c) => {
        for (let i = 0; i < across; i++) {
          const count = rows * Math.min(factor, width - i * factor)
          plane[j * across + i] = added[c * across + i] / count
        }
      })
    }
  })
  return toPicture8(view)
}
