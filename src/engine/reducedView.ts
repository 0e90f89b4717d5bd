import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'
import type { Chain } from './Chain.js'
import { paste } from './paste.js'
import { tilesOf } from './tilesOf.js'
import type { WorkerPool } from './WorkerPool.js'

/** About this many picture pixels a side go into one task. */
const BLOCK_PX = 1024

/** The picture at a chain's end averaged over blocks of `factor`, over the pool; see `ReadContext.reduced`. */
export async function reducedView(
  pool: WorkerPool,
  chain: Chain,
  index: number,
  { width, height }: Pick<Source, 'width' | 'height'>,
  factor: number,
): Promise<Tile> {
  const size = Math.max(1, Math.round(BLOCK_PX / factor)) * factor
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  await pool
    .runAll('reduced', tilesOf(width, height, size), (rect) => ({ chain, index, rect, factor }))
    .then((parts) => {
      for (const part of parts) paste(part, view)
    })
  return view
}
