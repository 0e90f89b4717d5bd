import type { Raster } from '../raster/Raster.js'
import type { Tile } from '../raster/Tile.js'
import { type Clipped, encodeRow } from './encode/encodeRow.js'
import { encodingTable } from './encode/encodingTable.js'
import type { SpaceName } from './spaces/SpaceName.js'
import { workingTo } from './working.js'

/**
 * Encodes working linear light in a standard space and writes it into a raster at the tile's place, within 0.51 codes of
 * the analytic curve, rounded half up.
 * @param tile its rect lies inside `target`
 * @returns how many samples lay outside the space and were cut off
 */
export function encodeTile(tile: Tile, space: SpaceName, target: Raster): Clipped {
  const { x, y, width, height } = tile.rect
  const table = encodingTable(space)
  const matrix = workingTo(space)
  const clipped = { clippedLow: 0, clippedHigh: 0 }
  for (let row = 0; row < height; row++) {
    const to = ((y + row) * target.width + x) * 3
    encodeRow(tile.planes, row * width, matrix, table, target.data, to, width, clipped)
  }
  return clipped
}
