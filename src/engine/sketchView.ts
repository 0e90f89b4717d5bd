import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'
import type { Chain } from './Chain.js'
import { paste } from './paste.js'
import { tilesOf } from './tilesOf.js'
import type { WorkerPool } from './WorkerPool.js'

/**
 * View pixels a side that go into one task: blocks, not whole rows, so that what a step makes for the neighbourhood of one
 * row (a rotated strip of a capture, coarse light about a seam) serves the next ones.
 */
const BLOCK_PX = 24

/**
 * A small view of the picture at a chain's end for people to look at (see sketchBlock.ts); cheaper than `reducedView`.
 * @param longestPx the view's longer side at most, in pixels
 * @returns the view and the whole number of picture pixels a side that one of its pixels stands for
 */
export async function sketchView(
  pool: WorkerPool,
  chain: Chain,
  { width, height }: Pick<Source, 'width' | 'height'>,
  longestPx: number,
): Promise<{ view: Tile; factor: number }> {
  const factor = Math.max(1, Math.ceil(Math.max(width, height) / longestPx))
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const blocks = tilesOf(view.rect.width, view.rect.height, BLOCK_PX)
  const parts = await pool.runAll('sketch', blocks, (rect) => ({ chain, index: 0, rect, factor }))
  for (const part of parts) paste(part, view)
  return { view, factor }
}
