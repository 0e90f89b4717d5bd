import type { MasterInfo } from '../outputs/contract.js'
import { paintedMap } from '../outputs/shared/paintedMap.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { ChainCapture } from './Chain.js'
import { planOutputs } from './planOutputs.js'
import { reliefLeft } from './reliefLeft.js'
import { sketchView } from './sketchView.js'
import { newChain, type TakenReading } from './takeReadings.js'
import type { WorkerPool } from './WorkerPool.js'

/** Longest side of the view that tells paint from paper. */
const VIEW_PX = 400

/**
 * What the outputs want to know of the master besides its size: the relief left in it and, where one of them cuts the
 * picture, where it is painted. Looked at without the steps that need a picture's surroundings, which change neither.
 */
export async function lookAtMaster(
  pipeline: Pipeline,
  master: MasterInfo,
  captures: readonly ChainCapture[],
  taken: readonly TakenReading[],
  pool: WorkerPool,
): Promise<MasterInfo> {
  const info = { ...master, reliefLeft: reliefLeft(taken) }
  const planned = await planOutputs(pipeline, info)
  const cuts = planned.some(({ plan }) => plan.files.some(({ cutShare }) => cutShare))
  if (!cuts) return info
  const stages = taken.filter(({ step }) => step.scope !== 'picture').map(({ stage }) => stage)
  const { view } = await sketchView(pool, newChain(captures, stages), master, VIEW_PX)
  return { ...info, painted: paintedMap(view) }
}
