import type { Rect } from '../raster/Rect.js'
import { reduce } from '../raster/reduce.js'
import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'

/**
 * A part of a small view for people to look at: each of its rows from two picture rows about the middle of its blocks,
 * averaged across by `factor`. It asks for a `2 / factor` share of the pixels that an exact average would.
 * @param rect in the small view's pixels
 */
export function sketchBlock(source: Source, rect: Rect, factor: number): Tile {
  const block = emptyTile(rect)
  const x = rect.x * factor
  const width = Math.min(rect.width * factor, source.width - x)
  for (let row = 0; row < rect.height; row++) {
    const middle = Math.min((rect.y + row) * factor + Math.max(0, (factor >> 1) - 1), source.height - 1)
    const height = Math.min(2, factor, source.height - middle)
    const { planes } = reduce(source.region({ x, y: middle, width, height }), factor)
    for (const [c, plane] of planes.entries()) block.planes[c].set(plane, row * rect.width)
  }
  return block
}
