import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { run } from '../../src/commands/run.js'
import type { RunOptions, runPipeline } from '../../src/engine/runPipeline.js'
import { Interrupted, WorkError } from '../../src/errors.js'
import type { Pipeline } from '../../src/pipeline/Pipeline.js'
import type { RunRecord } from '../../src/runRecord.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { fakeTerminal } from './fakeTerminal.js'

const OPTIONS = { json: false, quiet: false, verbose: false }

async function job() {
  const folder = await temporaryFolder()
  await mkdir(join(folder, 'job'))
  await writeFile(join(folder, 'job/scan.tif'), '')
  await writeFile(join(folder, 'job/boats.yaml'), 'captures: { files: [scan.tif] }\n')
  return folder
}

/** An engine that says it is done. */
function fakeEngine() {
  const calls: { pipeline: Pipeline; options: RunOptions }[] = []
  const engine: typeof runPipeline = async (pipeline, options) => {
    calls.push({ pipeline, options })
    const { outFolder: folder } = options
    options.onEvent({
      event: 'done',
      folder,
      report: join(folder, 'report/index.html'),
      seconds: 1,
      peakMemoryBytes: 1e6,
    })
    return {} as RunRecord
  }
  return { engine, calls }
}

describe('run', () => {
  it('writes beside the pipeline file, and takes paths from the current folder', async () => {
    const folder = await job()
    const { engine, calls } = fakeEngine()
    const { terminal, out } = fakeTerminal(folder)
    const request = { pipeline: 'job/boats.yaml', set: ['title=Boats'], overwrite: false }
    await run(request, { ...OPTIONS, threads: 3 }, terminal, engine)
    await run({ ...request, out: 'there', overwrite: true }, OPTIONS, terminal, engine)
    expect(
      calls.map(({ options: { outFolder, overwrite, threads } }) => ({ outFolder, overwrite, threads })),
    ).toEqual([
      { outFolder: join(folder, 'job/boats-out'), overwrite: false, threads: 3 },
      { outFolder: join(folder, 'there'), overwrite: true, threads: undefined },
    ])
    expect(calls[0].pipeline.title).toBe('Boats')
    expect(calls[0].options.signal).toBe(terminal.signal)
    expect(out.text).toContain(`Look at ${join(folder, 'job/boats-out/report/index.html')}\n`)
  })

  it('says nothing at all when quiet, and JSON alone with --json', async () => {
    const folder = await job()
    const { engine } = fakeEngine()
    const request = { pipeline: 'job/boats.yaml', set: [], overwrite: false }
    const quiet = fakeTerminal(folder)
    await run(request, { ...OPTIONS, quiet: true }, quiet.terminal, engine)
    expect(quiet.out.text + quiet.err.text).toBe('')
    const json = fakeTerminal(folder)
    await run(request, { ...OPTIONS, json: true }, json.terminal, engine)
    expect(JSON.parse(json.out.text)).toMatchObject({ event: 'done' })
  })

  it('hands on what the engine throws, and starts nothing once it was interrupted', async () => {
    const folder = await job()
    const request = { pipeline: 'job/boats.yaml', set: [], overwrite: false }
    const { terminal } = fakeTerminal(folder)
    const failing = async () => {
      throw new WorkError({ what: 'the disk is full' })
    }
    await expect(run(request, OPTIONS, terminal, failing)).rejects.toThrow('the disk is full')
    const { engine, calls } = fakeEngine()
    const stopped = fakeTerminal(folder)
    stopped.stop()
    await expect(run(request, OPTIONS, stopped.terminal, engine)).rejects.toThrow(Interrupted)
    expect(calls).toHaveLength(0)
  })
})
