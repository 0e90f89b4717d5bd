import type { Rect } from '../raster/Rect.js'
import { reduce } from '../raster/reduce.js'
import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'

/**
 * Up to this factor a block is asked for at once, at most twice the pixels: a step that looks at a place's neighbourhood
 * would look at it again for every two rows.
 */
const ASKED_WHOLE = 4

/**
 * A part of a small view for people to look at: each of its rows from two picture rows about the middle of its blocks,
 * averaged across by `factor`. It asks for a `2 / factor` share of the pixels that an exact average would.
 * @param rect in the small view's pixels
 */
export function sketchBlock(source: Source, rect: Rect, factor: number): Tile {
  const block = emptyTile(rect)
  const x = rect.x * factor
  const width = Math.min(rect.width * factor, source.width - x)
  const y = rect.y * factor
  const whole =
    factor <= ASKED_WHOLE
      ? source.region({ x, y, width, height: Math.min(rect.height * factor, source.height - y) })
      : undefined
  for (let row = 0; row < rect.height; row++) {
    const middle = Math.min((rect.y + row) * factor + Math.max(0, (factor >> 1) - 1), source.height - 1)
    const height = Math.min(2, factor, source.height - middle)
    const rows = { x, y: middle, width, height }
    const { planes } = reduce(whole ? rowsOf(whole, rows) : source.region(rows), factor)
    for (const [c, plane] of planes.entries()) block.planes[c].set(plane, row * rect.width)
  }
  return block
}

/** Some rows of a tile as wide as they are. */
function rowsOf({ rect, planes }: Tile, rows: Rect): Tile {
  const from = (rows.y - rect.y) * rect.width
  const parts = planes.map((plane) => plane.slice(from, from + rows.width * rows.height))
  return { rect: rows, planes: parts as Tile['planes'] }
}
