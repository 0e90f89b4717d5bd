import type { Raster } from '../raster/Raster.js'
import type { Tile } from '../raster/Tile.js'
import { type Clipped, encodePlanes } from './encode/encodePlanes.js'
import type { SpaceName } from './spaces/SpaceName.js'

/**
 * Encodes working linear light in a standard space and writes it into a raster at the tile's place, within 0.51 codes of
 * the analytic curve, rounded half up.
 * @param tile its rect lies inside `target`
 * @returns how many samples lay outside the space and were cut off
 */
export function encodeTile(tile: Tile, space: SpaceName, target: Raster): Clipped {
  const { x, y } = tile.rect
  const placeOf = (row: number) => ((y + row) * target.width + x) * 3
  return encodePlanes(tile, space, (row, codes) => target.data.set(codes, placeOf(row)), placeOf)
}
