import { reduce } from './reduce.js'
import type { Source } from './Source.js'
import { emptyTile, type Tile } from './Tile.js'

/** About this many picture pixels are asked for at once. */
const STRIP_PX = 250_000

/**
 * A whole picture averaged over blocks of `factor` x `factor` pixels, strip by strip, on this thread.
 * @param factor whole number >= 1
 */
export function reduceWhole(source: Source, factor: number): Tile {
  const { width, height } = source
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const rows = factor * Math.max(1, Math.round(STRIP_PX / (width * factor)))
  for (let y = 0; y < height; y += rows) {
    const strip = reduce(source.region({ x: 0, y, width, height: Math.min(rows, height - y) }), factor)
    for (const [c, plane] of strip.planes.entries()) view.planes[c].set(plane, strip.rect.y * view.rect.width)
  }
  return view
}
