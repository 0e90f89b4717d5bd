import { basename, join } from 'node:path'
import { profileBytes } from '../colour/profiles/profileBytes.js'
import type { SpaceName } from '../colour/spaces/SpaceName.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import { type OutputFolder, openOutputFolder } from '../files/openOutputFolder.js'
import { writePicture } from '../files/writePicture.js'
import { writeText } from '../files/writeText.js'
import type { MasterInfo, Output, Plan } from '../outputs/contract.js'
import { OUTPUTS } from '../outputs/registry.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { OutputRecord, RunRecord } from '../runRecord.js'
import { MM_PER_INCH } from '../units.js'
import { ASSUMED_PPI } from './assumedPpi.js'
import { buildChain } from './buildChain.js'
import { gatherComparisons } from './gatherComparisons.js'
import { openCaptures } from './openCaptures.js'
import { peakMemory } from './peakMemory.js'
import type { RunEvent } from './RunEvent.js'
import { RunLog } from './RunLog.js'
import { relativePaths } from './relativePaths.js'
import { chooseSpace, renderMaster } from './renderMaster.js'
import { type RenderedOutput, renderOutput } from './renderOutput.js'
import { sharedTransform } from './sharedTransform.js'
import { newChain, takeReadings } from './takeReadings.js'
import { TOOL } from './tool.js'
import { WorkerPool } from './WorkerPool.js'
import { writeDocuments } from './writeDocuments.js'

export interface RunOptions {
  /** Absolute path of the output folder. */
  outFolder: string
  overwrite: boolean
  /** Worker threads; as many as the machine has cores where left out. */
  threads?: number
  signal: AbortSignal
  onEvent(event: RunEvent): void
}

/**
 * Runs a resolved pipeline to the end: readings in order, one pass of tiles to the master, derivatives, report, record.
 * @throws RequestError, WorkError or Interrupted; then nothing is left in the output folder that was not there before
 */
export async function runPipeline(pipeline: Pipeline, options: RunOptions): Promise<RunRecord> {
  const folder = await openOutputFolder(options.outFolder, { overwrite: options.overwrite })
  const pool = new WorkerPool({ threads: options.threads, signal: options.signal })
  try {
    const record = await work(pipeline, options, folder, pool)
    pool.checkCancelled()
    await folder.commit()
    options.onEvent({
      event: 'done',
      folder: options.outFolder,
      report: pipeline.report ? join(options.outFolder, 'report', 'index.html') : null,
      seconds: record.seconds,
      peakMemoryBytes: record.peakMemoryBytes,
    })
    return record
  } catch (error) {
    await folder.discard()
    throw error
  } finally {
    await pool.close()
  }
}

async function work(
  pipeline: Pipeline,
  { onEvent }: RunOptions,
  { stagingPath }: OutputFolder,
  pool: WorkerPool,
): Promise<RunRecord> {
  const started = new Date()
  const clock = performance.now()
  const log = new RunLog(onEvent)

  const captures = await log.time('captures', () =>
    openCaptures(pipeline, pool, log, log.stage('captures', 0.15)),
  )
  const readings = await takeReadings(pipeline, captures, pool, {
    progress: progressOfReadings(pipeline, log),
    warning: (step, text) => log.warn(step, text),
  })
  for (const { step, findings, seconds } of readings.taken) {
    log.findings(step.name, findings)
    log.timings.push({ stage: step.name, seconds })
  }

  const chain = newChain(
    captures.opened,
    readings.taken.map(({ stage }) => stage),
  )
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
  const info: MasterInfo = {
    width: picture.width,
    height: picture.height,
    ppi,
    ppiAssumed: !readings.ppi,
    space,
    title: pipeline.title,
    credit: pipeline.credit,
  }
  // Planned before the long pass, so that what cannot be made is said before it.
  const planned = pipeline.outputs.map(({ kind, name, params }): Planned => {
    const output = OUTPUTS.get(kind)!
    return { kind, name, params, output, plan: output.plan(params, info) }
  })

  const { raster, clippedHigh } = await log.time('master', () =>
    renderMaster(pool, chain, picture, space, log.stage('master', 0.7)),
  )
  noteWhite(log, pipeline, clippedHigh / raster.data.length)
  const masterPath = pipeline.master.file
  const masterWritten = log.time('write master', () =>
    writePicture(join(stagingPath, masterPath), raster, {
      format: 'tif',
      depth: 16,
      ppi,
      profile: profileBytes(space),
      metadata: { title: pipeline.title, ...pipeline.credit },
      signal: pool.signal,
    }),
  )
  masterWritten.catch(() => {})
  const master = { raster, transform: sharedTransform(spaceTransform(space)) }
  const comparisons = pipeline.report
    ? await log.time('comparisons', () =>
        gatherComparisons(captures.opened, readings.taken, master, ppi, pool),
      )
    : undefined
  // The captures are not looked at again; without them the derivatives have room.
  captures.opened.length = 0
  chain.captures.length = 0

  const rendered: (Planned & RenderedOutput)[] = []
  for (const [i, output] of planned.entries()) {
    const onShare = log.stage(output.name, 0.7 + (0.22 * (i + 1)) / planned.length)
    const result = await renderOutput(output, { info, raster }, pool, stagingPath, onShare)
    log.findings(output.name, output.plan.findings)
    log.timings.push({ stage: output.name, seconds: result.seconds })
    rendered.push({ ...output, ...result })
  }
  await masterWritten

  const outputs = await recordOutputs(pool, stagingPath, info, masterPath, planned)
  for (const output of outputs) log.written(output)
  const record: RunRecord = {
    record: 1,
    tool: TOOL,
    started: started.toISOString(),
    seconds: 0,
    threads: pool.threads,
    pipeline: describePipeline(pipeline),
    inputs: captures.inputs,
    readings: Object.fromEntries(readings.taken.map(({ stage }) => [stage.name, stage.reading])),
    measurements: log.measurements,
    outputs,
    timings: log.timings,
    peakMemoryBytes: 0,
    warnings: log.warnings,
  }
  const finish = () => {
    record.seconds = (performance.now() - clock) / 1000
    record.peakMemoryBytes = peakMemory()
    return record
  }
  await log.time('report', () =>
    writeDocuments(
      stagingPath,
      finish(),
      { pipeline, readings, rendered, comparisons },
      log.stage('report', 1),
    ),
  )
  await writeText(join(stagingPath, 'run.json'), `${JSON.stringify(finish(), null, 2)}\n`)
  return record
}

interface Planned {
  kind: string
  name: string
  params: unknown
  output: Output
  plan: Plan
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

type Judged = Awaited<ReturnType<typeof chooseSpace>>

/** More than this share of the picture outside the master's space is said. */
const OUTSIDE_SHARE = 0.0005
/** More than this share of the master's samples above white is said, where no step means it so. */
const ABOVE_WHITE_SHARE = 0.005

function noteSpace(log: RunLog, pipeline: Pipeline, space: SpaceName, { why, shares }: Judged): void {
  const auto = pipeline.master.space === 'auto'
  if (auto) log.say('master', why)
  const { share, maxDeltaE } = shares[space]
  log.findings('master', [{ kind: 'number', name: `outside ${space}`, value: share * 100, unit: '%' }])
  if (share > OUTSIDE_SHARE) {
    const advice = auto ? 'no standard space is larger' : 'choose a larger space, or auto'
    log.warn(
      'master',
      `${(share * 100).toFixed(2)} % of the picture lies outside ${space} and was cut off, by up to ${maxDeltaE.toFixed(1)} dE2000; ${advice}`,
    )
  }
}

function noteWhite(log: RunLog, pipeline: Pipeline, share: number): void {
  log.findings('master', [{ kind: 'number', name: 'samples above white', value: share * 100, unit: '%' }])
  // Paper brought to white leaves its own highlights above it; that is what the step is for.
  if (share > ABOVE_WHITE_SHARE && !pipeline.steps.some(({ name }) => name === 'paper-white')) {
    log.warn(
      'master',
      `${(share * 100).toFixed(2)} % of the samples are lighter than white and were cut off: the capture or the correction is too light`,
    )
  }
}

async function recordOutputs(
  pool: WorkerPool,
  stagingPath: string,
  { width, height, ppi, space }: MasterInfo,
  masterPath: string,
  planned: { plan: { files: Omit<OutputRecord, 'sha256'>[] } }[],
): Promise<OutputRecord[]> {
  const mm = (px: number) => (px / ppi) * MM_PER_INCH
  const master = {
    ...{ kind: 'master', name: basename(masterPath), path: masterPath, width, height, ppi },
    ...{ widthMm: mm(width), heightMm: mm(height), space, depth: 16 },
  }
  const files = [master, ...planned.flatMap(({ plan }) => plan.files)]
  const sums = await pool.runAll('hash', files, ({ path }) => ({ path: join(stagingPath, path) }))
  return files.map((file, i) => ({
    ...{ kind: file.kind, name: file.name, path: file.path, sha256: sums[i] },
    ...{ width: file.width, height: file.height, ppi: file.ppi },
    ...{ widthMm: file.widthMm, heightMm: file.heightMm, space: file.space, depth: file.depth },
  }))
}

/** The pipeline as resolved, without what belongs to this machine. */
function describePipeline(pipeline: Pipeline): unknown {
  const folder = join(pipeline.file, '..')
  return relativePaths(pipeline, folder)
}
