import type { Derivation, MasterInfo } from '../outputs/contract.js'
import { blocksOf } from '../outputs/derive/blocksOf.js'
import { emptyRaster, type Raster } from '../raster/Raster.js'
import type { WorkerPool } from './WorkerPool.js'

/** Derives several pictures from a master over the pool, reading it once for all of them. */
export async function deriveAll(
  pool: WorkerPool,
  { info: { space }, raster: master }: { info: MasterInfo; raster: Raster },
  requests: readonly Derivation[],
  onShare: (share: number) => void = () => {},
): Promise<Raster[]> {
  const targets = requests.map(({ width, height }) => emptyRaster(width, height))
  await pool.runAll(
    'derive',
    blocksOf(master, requests),
    (block) => ({
      ...{ master, space },
      parts: block.map(({ index, rect }) => ({ request: requests[index], rect, target: targets[index] })),
    }),
    onShare,
  )
  return targets
}
