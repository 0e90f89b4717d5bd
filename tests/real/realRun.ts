import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect } from 'vitest'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import type { RunRecord } from '../../src/runRecord.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

/** Real captures that are not part of the project; where they come from stands beside each test and in their PROVENANCE.md. */
const DATA = join(import.meta.dirname, '../../../shared/data')

/** True where these files are at hand; else says that their tests are left out. */
export function haveReal(what: string, ...files: string[]): boolean {
  const missing = files.filter((file) => !existsSync(real(file)))
  if (missing.length > 0) console.warn(`${what}: left out, for ../shared/data has no ${missing.join(', ')}`)
  return missing.length === 0
}

/** Path of a real capture. */
export const real = (file: string) => join(DATA, file)

export interface RealRun {
  folder: string
  out: string
  record: RunRecord
  /** The report's HTML, pictures left out. */
  report: string
}

/**
 * Runs a pipeline on real captures and holds what every run owes: what the record lists is there with that hash, and
 * the warnings stand first in the report.
 * @param files further files to write beside the pipeline, by name
 */
export async function runReal(text: string, files: Record<string, string> = {}): Promise<RealRun> {
  const folder = await temporaryFolder()
  for (const [name, content] of Object.entries({ ...files, 'job.yaml': text })) {
    await writeFile(join(folder, name), content)
  }
  const out = join(folder, 'out')
  const pipeline = await loadPipeline(join(folder, 'job.yaml'))
  await runPipeline(pipeline, {
    ...{ outFolder: out, overwrite: false, signal: new AbortController().signal, onEvent: () => {} },
  })
  const record: RunRecord = JSON.parse(await readFile(join(out, 'run.json'), 'utf8'))
  for (const { path, sha256 } of record.outputs) expect(sha256).toBe(await hash(join(out, path)))
  const captures = record.inputs.filter(({ use }) => use === 'capture')
  expect(captures).toHaveLength(pipeline.captures.files.length)
  for (const [i, { sha256 }] of captures.entries()) {
    expect(sha256).toBe(await hash(pipeline.captures.files[i].path))
  }
  const report = (await readFile(join(out, 'report/index.html'), 'utf8')).replace(/data:image[^"]*/g, '')
  if (record.warnings.length > 0) {
    expect(report.indexOf('id="warnings"')).toBeGreaterThan(0)
    expect(report.indexOf('id="warnings"')).toBeLessThan(report.indexOf('id="summary"'))
  }
  return { folder, out, record, report }
}

/** A number that the run measured. */
export function measured({ measurements }: RunRecord, step: string, name: string): number {
  const found = measurements.find((one) => one.step === step && one.name === name)
  if (!found) throw new Error(`the run measured no ${name} in ${step}`)
  return found.value
}

async function hash(path: string): Promise<string> {
  return createHash('sha256')
    .update(await readFile(path))
    .digest('hex')
}
