import { randomUUID } from 'node:crypto'
import { readText } from '../files/readText.js'
import type { Finding } from '../findings.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { Tile } from '../raster/Tile.js'
import type { CaptureInfo, ReadContext, Step } from '../steps/contract.js'
import { STEPS } from '../steps/registry.js'
import { labelOf } from './auxiliariesOf.js'
import { buildChain } from './buildChain.js'
import type { Chain, ChainCapture, ChainStage } from './Chain.js'
import { collectGarbage } from './collectGarbage.js'
import { type OpenedCapture, openCapture } from './openCapture.js'
import { reducedView } from './reducedView.js'
import { reliefLeft } from './reliefLeft.js'
import { untaggedWarning } from './untaggedWarning.js'
import type { WorkerPool } from './WorkerPool.js'

export interface TakenReading {
  step: Step
  stage: ChainStage
  findings: Finding[]
  seconds: number
}

export interface Readings {
  taken: TakenReading[]
  /** Resolution at the end of the chain; undefined where nothing says. */
  ppi: number | undefined
}

/** How many rectangles go into one task: few enough to share the work out, many enough to be worth the message. */
const RECTS_A_TASK = 16

/**
 * Takes every step's reading in the pipeline's order, each on the picture as the steps before it leave it.
 * @param tell hears the share done of each reading, and notes and warnings about auxiliary captures
 */
export async function takeReadings(
  pipeline: Pipeline,
  captures: { infos: readonly CaptureInfo[]; opened: readonly OpenedCapture[] },
  pool: WorkerPool,
  tell: {
    progress(step: string, share: number): void
    note(step: string, text: string): void
    warning(step: string, text: string): void
  },
): Promise<Readings> {
  const taken: TakenReading[] = []
  let ppi = commonPpi(captures.infos)
  for (const { name, params } of pipeline.steps) {
    const step = STEPS.get(name)!
    const started = performance.now()
    tell.progress(name, 0)
    const stages = taken.map(({ stage }) => stage)
    const chain = newChain(captures.opened, stages)
    const sources = buildChain(chain)
    const untagged: string[] = []
    const context: ReadContext = {
      captures: captures.infos,
      kind: pipeline.captures.kind,
      sheetSizeMm: pipeline.captures.sizeMm,
      ppi,
      neutral: taken.map(({ step: earlier, stage }) => earlier.neutral?.(stage.reading)).find(Boolean),
      reliefLeft: reliefLeft(taken),
      reduced: (index, factor) => reducedView(pool, chain, index, sources[index], factor),
      regions: async (index, rects) => {
        const batches = Array.from({ length: Math.ceil(rects.length / RECTS_A_TASK) }, (_, i) =>
          rects.slice(i * RECTS_A_TASK, (i + 1) * RECTS_A_TASK),
        )
        const answers: Tile[][] = await pool.runAll('regions', batches, (batch) => ({
          chain,
          index,
          rects: batch,
        }))
        return answers.flat()
      },
      work: (tasks, onShare) => pool.runAll('work', tasks, (part) => ({ chain, step: name, part }), onShare),
      auxiliaryCapture: async (path) => {
        const label = labelOf(pipeline, path)
        // A chart that is a capture too (beside the painting) is open already, and told of already.
        const own = captures.opened[pipeline.captures.files.findIndex((file) => file.path === path)]
        const balance = captures.opened.find(({ whiteBalance }) => whiteBalance)?.whiteBalance
        // A board before this one may still be held: hundreds of megabytes that nobody refers to.
        if (!own) collectGarbage()
        const opened = own ?? (await openCapture(path, label, pipeline.captures.profile, pool, balance))
        if (!own) for (const text of opened.notes) tell.note(name, `${label}: ${text}`)
        if (!own && !opened.tagged) untagged.push(label)
        const { width, height, ppi: filePpi, conditions } = opened.header
        for (const { step: earlier, stage } of taken) {
          const why = earlier.unsuited?.(stage.reading, { width, height })
          if (why) tell.warning(name, `${label}: ${why}`)
        }
        const [source] = buildChain(newChain([opened], stages))
        const deviceToWorking = opened.transform.kind === 'matrix' ? opened.transform.matrix : undefined
        const facts = { label, width, height, ppi: filePpi, conditions, profile: opened.profile }
        return { source, info: { ...facts, turned: 0, deviceToWorking } }
      },
      auxiliaryText: readText,
      progress: (share) => tell.progress(name, share),
      checkCancelled: () => pool.checkCancelled(),
    }
    const reading = await step.read(sources, params, context)
    const untaggedText = untaggedWarning(untagged)
    if (untaggedText) tell.warning(name, untaggedText)
    pool.checkCancelled()
    taken.push({
      step,
      stage: { name, params, reading },
      findings: step.findings(reading, params),
      seconds: (performance.now() - started) / 1000,
    })
    if (step.ppi) ppi = step.ppi(reading, ppi)
    tell.progress(name, 1)
  }
  return { taken, ppi }
}

/** A chain with a name of its own. */
export function newChain(captures: readonly ChainCapture[], stages: readonly ChainStage[]): Chain {
  // Only what workers need crosses: an opened capture also carries its header.
  const bare = captures.map(({ raster, transform }) => ({ raster, transform }))
  return { id: randomUUID(), captures: bare, stages: [...stages] }
}

/** The captures' ppi where they agree, else undefined (a join decides then). */
const commonPpi = (infos: readonly CaptureInfo[]): number | undefined =>
  infos.every(({ ppi }) => ppi === infos[0].ppi) ? infos[0].ppi : undefined
