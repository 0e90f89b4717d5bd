import type { Derivation, MasterInfo } from '../../outputs/contract.js'
import { emptyRaster, type Raster } from '../../raster/Raster.js'
import type { Rect } from '../../raster/Rect.js'
import type { Chain } from '../Chain.js'
import { TILE_PX } from '../renderMaster.js'
import { tilesOf } from '../tilesOf.js'
import type { WorkerPool } from '../WorkerPool.js'
import { partFor } from './renderVariants.js'

/** Places of a chain's end as the master would have them, and nothing else of it. */
export async function renderPlaces(
  pool: WorkerPool,
  chain: Chain,
  places: readonly Rect[],
  space: MasterInfo['space'],
  onShare: (share: number) => void = () => {},
): Promise<Raster[]> {
  const targets = places.map(({ width, height }) => emptyRaster(width, height))
  const tiles = places.flatMap((place, i) =>
    tilesOf(place.width, place.height, TILE_PX).map((tile) => ({
      ...{ place, target: targets[i] },
      rect: { ...tile, x: place.x + tile.x, y: place.y + tile.y },
    })),
  )
  await pool.runAll('place', tiles, (tile) => ({ chain, space, ...tile }), onShare)
  return targets
}

/**
 * Rectangles of a derivative, each sharpened in several ways: the very pixels that the output's file would have.
 * @returns by sharpening, then by rectangle
 */
export async function renderVariantCrops(
  pool: WorkerPool,
  chain: Chain,
  master: MasterInfo,
  request: Derivation,
  sharpenings: readonly Derivation['sharpening'][],
  rects: readonly Rect[],
  onShare: (share: number) => void,
): Promise<Raster[][]> {
  const places = rects.map((rect) => partFor(rect, request, sharpenings, master))
  const parts = await renderPlaces(pool, chain, places, master.space, (share) => onShare(share * 0.7))
  const size = { width: master.width, height: master.height }
  const made = rects.map((rect, i) => ({
    ...{ rect, part: { raster: parts[i], place: places[i], space: master.space } },
    targets: sharpenings.map(() => emptyRaster(rect.width, rect.height)),
  }))
  await pool.runAll(
    'variants',
    made,
    (one) => ({ master: size, request, sharpenings, ...one }),
    (share) => onShare(0.7 + share * 0.3),
  )
  return sharpenings.map((_, i) => made.map(({ targets }) => targets[i]))
}
