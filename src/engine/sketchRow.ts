import { reduce } from '../raster/reduce.js'
import type { Source } from '../raster/Source.js'
import type { Tile } from '../raster/Tile.js'

/**
 * One row of a small view for people to look at: two picture rows about the block's middle, averaged across by
 * `factor`. It asks for a `2 / factor` share of the pixels that an exact average would.
 * @param row index of the row in the small view
 * @returns a tile of one row
 */
export function sketchRow(source: Source, row: number, factor: number): Tile {
  const middle = Math.min(row * factor + Math.max(0, (factor >> 1) - 1), source.height - 1)
  const height = Math.min(2, factor, source.height - middle)
  const rows = source.region({ x: 0, y: middle, width: source.width, height })
  return reduce(rows, factor)
}
