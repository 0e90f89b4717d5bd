import { basename } from 'node:path'
import { readHeader } from '../files/readHeader.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunRecord } from '../runRecord.js'
import { auxiliariesOf, labelOf } from './auxiliariesOf.js'
import { picturesBeside } from './besideOf.js'
import { captureTransform } from './captureTransform.js'
import type { WorkerPool } from './WorkerPool.js'

type Input = RunRecord['inputs'][number]

/** The record of every file a run reads besides its captures: profile, boards, charts, references, saved readings, marks. */
export async function otherInputs(pipeline: Pipeline, pool: WorkerPool): Promise<Input[]> {
  const { profile } = pipeline.captures
  const text = { width: null, height: null, ppi: null, profile: null }
  const facts: { path: string; input: Omit<Input, 'sha256'> }[] = []
  if (profile && profile !== 'none') {
    facts.push({
      path: profile,
      input: { use: 'captures.profile', path: labelOf(pipeline, profile), ...text },
    })
  }
  for (const { path, label, use, kind } of auxiliariesOf(pipeline)) {
    if (kind === 'text') {
      facts.push({ path, input: { use, path: label, ...text } })
      continue
    }
    const header = await readHeader(path)
    const { description } = await captureTransform(header, basename(path), profile)
    const { width, height, ppi = null, conditions } = header
    const input = { use, path: label, width, height, ppi, profile: description }
    facts.push({ path, input: { ...input, ...(conditions && { conditions }) } })
  }
  for (const { path, use } of picturesBeside(pipeline)) {
    const header = await readHeader(path)
    const { description } = await captureTransform(header, basename(path), undefined)
    const { width, height, ppi = null } = header
    const label = labelOf(pipeline, path)
    facts.push({ path, input: { use, path: label, width, height, ppi, profile: description } })
  }
  const sums = await pool.runAll('hash', facts, ({ path }) => ({ path }))
  return facts.map(({ input: { use, path, ...rest } }, i) => ({ use, path, sha256: sums[i], ...rest }))
}
