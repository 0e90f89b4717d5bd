import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunRecord } from '../runRecord.js'
import type { CaptureInfo } from '../steps/contract.js'
import { MM_PER_INCH } from '../units.js'
import { type OpenedCapture, openCapture } from './openCapture.js'
import type { RunLog } from './RunLog.js'
import type { WorkerPool } from './WorkerPool.js'

export interface OpenedCaptures {
  opened: OpenedCapture[]
  infos: CaptureInfo[]
  inputs: RunRecord['inputs']
}

/** Decodes every capture onto shared memory, one after another so that memory stays bounded, and hashes them. */
export async function openCaptures(
  pipeline: Pipeline,
  pool: WorkerPool,
  log: RunLog,
  onShare: (share: number) => void,
): Promise<OpenedCaptures> {
  const { files, profile } = pipeline.captures
  const hashes = pool.runAll('hash', files, ({ path }) => ({ path }))
  // A decoding error is thrown before the hashes are awaited; their own failure must not go unheard meanwhile.
  hashes.catch(() => {})
  const opened: OpenedCapture[] = []
  for (const { path, label } of files) {
    pool.checkCancelled()
    const capture = await openCapture(path, label, profile)
    for (const text of capture.warnings) log.warn('captures', text)
    for (const text of capture.notes) log.say('captures', `${label}: ${text}`)
    opened.push(capture)
    onShare(opened.length / files.length)
  }
  const infos = opened.map(({ header: { width, height, ppi } }, i): CaptureInfo => {
    const { label, turned } = files[i]
    return { label, width, height, ppi: captureResolution(pipeline, label, ppi, width, height, log), turned }
  })
  const sums = await hashes
  const inputs = opened.map(({ header, profile: description }, i) => ({
    path: files[i].label,
    sha256: sums[i],
    width: header.width,
    height: header.height,
    ppi: infos[i].ppi ?? null,
    profile: description,
  }))
  return { opened, infos, inputs }
}

/** The resolution a capture is taken to have: from the sheet's stated size, else the stated ppi, else the file. */
function captureResolution(
  pipeline: Pipeline,
  label: string,
  filePpi: number | undefined,
  width: number,
  height: number,
  log: RunLog,
): number | undefined {
  const { ppi, sizeMm, files } = pipeline.captures
  if (sizeMm && files.length === 1) {
    const turned = files[0].turned % 180 !== 0
    const fromWidth = sizeMm.width && ((turned ? height : width) / sizeMm.width) * MM_PER_INCH
    const fromHeight = sizeMm.height && ((turned ? width : height) / sizeMm.height) * MM_PER_INCH
    return fromWidth || fromHeight
  }
  if (ppi && filePpi && Math.abs(ppi / filePpi - 1) > 0.005) {
    log.say('captures', `${label} says ${filePpi} ppi; the pipeline's ${ppi} ppi is used`)
  }
  return ppi ?? filePpi
}
