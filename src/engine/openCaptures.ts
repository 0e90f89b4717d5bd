import { inputTransform } from '../colour/profiles/inputTransform.js'
import { readBytes } from '../files/readBytes.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunRecord } from '../runRecord.js'
import type { CaptureInfo } from '../steps/contract.js'
import { captureResolution } from './captureResolution.js'
import { type OpenedCapture, openCapture } from './openCapture.js'
import { otherInputs } from './otherInputs.js'
import type { RunLog } from './RunLog.js'
import { untaggedWarning } from './untaggedWarning.js'
import type { WorkerPool } from './WorkerPool.js'

export interface OpenedCaptures {
  opened: OpenedCapture[]
  infos: CaptureInfo[]
  inputs: RunRecord['inputs']
}

const isRaw = ({ whiteBalance }: OpenedCapture) => whiteBalance !== undefined

/** Decodes every capture onto shared memory, one after another so that memory stays bounded, and hashes them. */
export async function openCaptures(
  pipeline: Pipeline,
  pool: WorkerPool,
  log: RunLog,
): Promise<OpenedCaptures> {
  const { files, profile } = pipeline.captures
  // A profile that is none is said before any work begins.
  if (profile && profile !== 'none') await inputTransform(await readBytes(profile), profile)
  const onShare = log.stage('captures', 0.15)
  const hashes = pool.runAll('hash', files, ({ path }) => ({ path }))
  // A decoding error is thrown before the hashes are awaited; their own failure must not go unheard meanwhile.
  hashes.catch(() => {})
  const opened: OpenedCapture[] = []
  for (const { path, label } of files) {
    pool.checkCancelled()
    const capture = await openCapture(path, label, profile, pool, opened.find(isRaw)?.whiteBalance)
    for (const text of capture.notes) log.say('captures', `${label}: ${text}`)
    opened.push(capture)
    onShare(opened.length / files.length)
  }
  const infos = opened.map(({ header, profile: meaning }, i): CaptureInfo => {
    const { label, turned } = files[i]
    const ppi = captureResolution(pipeline, label, header, {
      say: (text) => log.say('captures', text),
      warn: (text) => log.warn('captures', text),
    })
    const { width, height, conditions, depth } = header
    return { label, width, height, ppi, turned, conditions, profile: meaning, depth }
  })
  const untagged = untaggedWarning(files.filter((_, i) => !opened[i].tagged).map(({ label }) => label))
  if (untagged) log.warn('captures', untagged)
  const sums = await hashes
  const inputs = opened.map(({ header, profile: description }, i) => ({
    use: 'capture',
    path: files[i].label,
    sha256: sums[i],
    width: header.width,
    height: header.height,
    ppi: infos[i].ppi ?? null,
    profile: description,
    ...(header.conditions && { conditions: header.conditions }),
  }))
  return { opened, infos, inputs: [...inputs, ...(await otherInputs(pipeline, pool))] }
}
