import { basename, join } from 'node:path'
import { profileBytes } from '../colour/profiles/profileBytes.js'
import { type OutputFolder, openOutputFolder } from '../files/openOutputFolder.js'
import { writePicture } from '../files/writePicture.js'
import { writeText } from '../files/writeText.js'
import type { MasterInfo, Plan } from '../outputs/contract.js'
import { OUTPUTS } from '../outputs/registry.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { OutputRecord, RunRecord } from '../runRecord.js'
import { MM_PER_INCH } from '../units.js'
import { collectGarbage } from './collectGarbage.js'
import { developMaster } from './developMaster.js'
import { peakMemory } from './peakMemory.js'
import type { PlannedOutput } from './planOutputs.js'
import type { RunEvent } from './RunEvent.js'
import { RunLog } from './RunLog.js'
import { relativePaths } from './relativePaths.js'
import type { FinishedMaster, RenderedOutput } from './renderOutput.js'
import { renderOutputs } from './renderOutputs.js'
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

const REPORT = 'report/index.html'

/**
 * Runs a resolved pipeline to the end: readings in order, one pass of tiles to the master, derivatives, report, record.
 * @throws RequestError, WorkError or Interrupted; then nothing is left in the output folder that was not there before
 */
export async function runPipeline(pipeline: Pipeline, options: RunOptions): Promise<RunRecord> {
  const folder = await openOutputFolder(options.outFolder, {
    overwrite: options.overwrite,
    willWrite: [
      ...[pipeline.master.file, 'ticket.md', 'run.json'],
      ...pipeline.outputs.flatMap(({ kind, params }) => OUTPUTS.get(kind)!.paths(params)),
      ...(pipeline.report ? [REPORT] : []),
    ],
  })
  const pool = new WorkerPool({ threads: options.threads, signal: options.signal })
  try {
    const record = await work(pipeline, options, folder, pool)
    pool.checkCancelled()
    await folder.commit()
    options.onEvent({
      event: 'done',
      folder: options.outFolder,
      report: pipeline.report ? join(options.outFolder, REPORT) : null,
      seconds: record.seconds,
      peakMemoryBytes: record.peakMemoryBytes,
    })
    return record
  } catch (error) {
    await folder.discard()
    throw folder.asMeant(error)
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

  const { inputs, readings, info, raster, planned, deviceColour, comparisons } = await developMaster(
    pipeline,
    pool,
    log,
  )
  // The captures are done with: nothing here refers to them, and new threads do not either.
  await pool.renew()
  collectGarbage()
  const masterPath = pipeline.master.file
  const masterWritten = log.time('write master', () =>
    writePicture(join(stagingPath, masterPath), raster, {
      format: 'tif',
      depth: 16,
      ppi: info.ppi,
      profile: profileBytes(info.space),
      metadata: { title: pipeline.title, ...pipeline.credit },
      signal: pool.signal,
    }),
  )
  // Awaited below; should a derivative fail first, this one's failure must not go unheard.
  masterWritten.catch(() => {})
  const rendered = await makeOutputs(planned, { info, raster, deviceColour }, pool, stagingPath, log)
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
    inputs,
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

async function makeOutputs(
  planned: readonly PlannedOutput[],
  master: FinishedMaster,
  pool: WorkerPool,
  stagingPath: string,
  log: RunLog,
): Promise<(PlannedOutput & RenderedOutput)[]> {
  const tell = log.stages(
    planned.map(({ name }) => name),
    0.92,
  )
  const rendered = await renderOutputs(planned, master, pool, stagingPath, tell)
  return planned.map((output, i) => {
    log.findings(output.name, output.plan.findings)
    log.timings.push({ stage: output.name, seconds: rendered[i].seconds })
    return { ...output, ...rendered[i] }
  })
}

async function recordOutputs(
  pool: WorkerPool,
  stagingPath: string,
  { width, height, ppi, space }: MasterInfo,
  masterPath: string,
  planned: { plan: Pick<Plan, 'files' | 'documents'> }[],
): Promise<OutputRecord[]> {
  const mm = (px: number) => (px / ppi) * MM_PER_INCH
  const master = {
    ...{ kind: 'master', name: basename(masterPath), path: masterPath, width, height, ppi },
    ...{ widthMm: mm(width), heightMm: mm(height), space, depth: 16 },
  }
  // What is no picture has no size.
  const none = {
    width: null,
    height: null,
    ppi: null,
    widthMm: null,
    heightMm: null,
    space: null,
    depth: null,
  }
  const documents = planned.flatMap(({ plan }) => plan.documents ?? [])
  const files: Omit<OutputRecord, 'sha256'>[] = [
    master,
    ...planned.flatMap(({ plan }) => plan.files),
    ...documents.map((document) => ({ ...document, ...none })),
  ]
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
