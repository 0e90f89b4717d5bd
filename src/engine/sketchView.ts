import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'
import type { Chain } from './Chain.js'
import type { WorkerPool } from './WorkerPool.js'

const ROWS_A_TASK = 24

/**
 * A small view of the picture at a chain's end for people to look at (see sketchRow.ts); cheaper than `reducedView`.
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
  const batches: number[][] = []
  for (let row = 0; row < view.rect.height; row += ROWS_A_TASK) {
    batches.push(Array.from({ length: Math.min(ROWS_A_TASK, view.rect.height - row) }, (_, i) => row + i))
  }
  const answers = await pool.runAll('sketch', batches, (rows) => ({ chain, index: 0, rows, factor }))
  answers.flat().forEach((line, row) => {
    line.planes.forEach((plane, c) => {
      view.planes[c].set(plane, row * view.rect.width)
    })
  })
  return { view, factor }
}
