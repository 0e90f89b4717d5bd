import { smallestSpace } from '../colour/gamut.js'
import type { SpaceName } from '../colour/spaces/SpaceName.js'
import { emptyRaster, type Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import type { Source } from '../raster/Source.js'
import type { Chain } from './Chain.js'
import { tilesOf } from './tilesOf.js'
import type { WorkerPool } from './WorkerPool.js'

/**
 * Side of a tile in pixels. A larger tile spends less on the steps' borders, a smaller one less memory a worker: on 70
 * megapixels 1024 takes 130 MB more than 512 and saves a fifth of the filtering.
 */
export const TILE_PX = 512

/** Pulls the whole picture at a chain's end through the pool, once, into an encoded raster on shared memory. */
export async function renderMaster(
  pool: WorkerPool,
  chain: Chain,
  { width, height }: Pick<Source, 'width' | 'height'>,
  space: SpaceName,
  onShare: (share: number) => void,
  tilePx = TILE_PX,
): Promise<{ raster: Raster; clippedHigh: number }> {
  const target = emptyRaster(width, height)
  const clipped = await pool.runAll(
    'master',
    tilesOf(width, height, tilePx),
    (rect) => ({ chain, rect, space, target }),
    onShare,
  )
  return {
    raster: target,
    clippedHigh: clipped.reduce((sum, { clippedHigh }) => sum + clippedHigh, 0),
  }
}

/** Side of a sampled place, and how many across and down: 2.4 megapixels in all. */
const SAMPLE_PX = 256
const SAMPLES = 6

/** The smallest standard space that holds the picture at a chain's end, judged on places spread evenly over it. */
export async function chooseSpace(
  pool: WorkerPool,
  chain: Chain,
  { width, height }: Pick<Source, 'width' | 'height'>,
): Promise<ReturnType<typeof smallestSpace>> {
  const size = { width: Math.min(SAMPLE_PX, width), height: Math.min(SAMPLE_PX, height) }
  const at = (i: number, room: number) => Math.round((i * room) / (SAMPLES - 1))
  const rects: Rect[] = []
  for (let j = 0; j < SAMPLES; j++) {
    for (let i = 0; i < SAMPLES; i++) {
      rects.push({ x: at(i, width - size.width), y: at(j, height - size.height), ...size })
    }
  }
  const tiles = await pool.runAll('regions', rects, (rect) => ({ chain, index: 0, rects: [rect] }))
  return smallestSpace(tiles.flat())
}
