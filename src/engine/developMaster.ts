import type { DeviceColour } from '../colour/profiles/deviceMatrix.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import type { MasterInfo } from '../outputs/contract.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { Raster } from '../raster/Raster.js'
import type { RunRecord } from '../runRecord.js'
import { ASSUMED_PPI } from './assumedPpi.js'
import { buildChain } from './buildChain.js'
import { checkInputs } from './checkInputs.js'
import { collectGarbage } from './collectGarbage.js'
import { deviceColour } from './deviceColour.js'
import { type Comparisons, gatherComparisons } from './gatherComparisons.js'
import { lookAtMaster } from './lookAtMaster.js'
import { measuresColour } from './measuresColour.js'
import { noteSpace } from './noteSpace.js'
import { noteWhite } from './noteWhite.js'
import { openCaptures } from './openCaptures.js'
import { type PlannedOutput, planOutputs } from './planOutputs.js'
import { planRun } from './planRun.js'
import type { RunLog } from './RunLog.js'
import { chooseSpace, renderMaster } from './renderMaster.js'
import { sharedTransform } from './sharedTransform.js'
import { newChain, type Readings, takeReadings } from './takeReadings.js'
import type { WorkerPool } from './WorkerPool.js'

export interface Developed {
  inputs: RunRecord['inputs']
  readings: Readings
  info: MasterInfo
  raster: Raster
  planned: PlannedOutput[]
  /** What the first capture's codes are as corrected light; undefined where no step has measured it. */
  deviceColour: DeviceColour | undefined
  /** Absent where no report is wanted. */
  comparisons?: Comparisons
}

/**
 * From captures to the master. The captures' memory is let go on return: nothing in the result refers to them.
 * @throws RequestError, WorkError or Interrupted
 */
export async function developMaster(pipeline: Pipeline, pool: WorkerPool, log: RunLog): Promise<Developed> {
  // A single capture's sizes are known from its header: what cannot be made of it is said before any pixel is read.
  if (pipeline.captures.files.length === 1) await planRun(pipeline)
  else await checkInputs(pipeline)
  const captures = await log.time('captures', () => openCaptures(pipeline, pool, log))
  const readings = await takeReadings(pipeline, captures, pool, {
    progress: progressOfReadings(pipeline, log),
    note: (step, text) => log.say(step, text),
    warning: (step, text) => log.warn(step, text),
  })
  for (const { step, findings, seconds } of readings.taken) {
    log.findings(step.name, findings)
    log.timings.push({ stage: step.name, seconds })
  }

  const stages = readings.taken.map(({ stage }) => stage)
  const chain = newChain(captures.opened, stages)
  const [picture] = buildChain(chain)
  const judged = await chooseSpace(pool, chain, picture)
  const space = pipeline.master.space === 'auto' ? judged.space : pipeline.master.space
  noteSpace(log, pipeline, space, judged)
  const ppi = readings.ppi ?? ASSUMED_PPI
  if (!readings.ppi) {
    log.warn(
      'master',
      `neither the captures nor the pipeline say a resolution; ${ASSUMED_PPI} ppi is assumed, so sizes on paper are a guess. State captures.ppi or captures.size`,
    )
  }
  const size: MasterInfo = {
    ...{ width: picture.width, height: picture.height, ppi, ppiAssumed: !readings.ppi, space },
    ...{ title: pipeline.title, credit: pipeline.credit, colourMeasured: measuresColour(pipeline) },
  }
  const info = await lookAtMaster(pipeline, size, captures.opened, readings.taken, pool)
  // Planned before the long pass, so that what cannot be made is said before it.
  const planned = await planOutputs(pipeline, info)

  collectGarbage()
  const { raster, clippedHigh } = await log.time('master', () =>
    renderMaster(pool, chain, picture, space, log.stage('master', 0.7)),
  )
  noteWhite(log, pipeline, clippedHigh / raster.data.length)
  const master = { raster, transform: sharedTransform(spaceTransform(space)) }
  const comparisons = pipeline.report
    ? await log.time('comparisons', () =>
        gatherComparisons(captures.opened, readings.taken, master, ppi, pool),
      )
    : undefined
  const own = deviceColour(captures.opened[0].transform, stages)
  return { inputs: captures.inputs, readings, info, raster, planned, deviceColour: own, comparisons }
}

/** Each reading's share of the stretch between captures and master. */
function progressOfReadings(pipeline: Pipeline, log: RunLog) {
  const stages = new Map<string, (share: number) => void>()
  return (name: string, share: number) => {
    if (!stages.has(name)) {
      stages.set(name, log.stage(name, 0.15 + (0.2 * (stages.size + 1)) / pipeline.steps.length))
    }
    stages.get(name)!(share)
  }
}
