import { createHash } from 'node:crypto'
import { access, mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { RunEvent } from '../../src/engine/RunEvent.js'
import { type RunOptions, runPipeline } from '../../src/engine/runPipeline.js'
import { TOOL } from '../../src/engine/tool.js'
import { Interrupted, RequestError } from '../../src/errors.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import type { RunRecord } from '../../src/runRecord.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const TEXT = `pipeline: 1
title: Small wash
captures: { kind: flatbed, files: [capture.tif] }
steps:
  - hue: [ { around: blue, width: 60, shift: -10, chroma: 90%, lightness: 0 } ]
outputs:
  - print: { name: small, image: { width: 30mm }, ppi: 200 }
  - card: { name: card, format: a6-folded, sheet: A4, ppi: 100 }
`

async function job(text = TEXT) {
  const folder = await temporaryFolder()
  await testCapture(folder, 'capture.tif')
  await writeFile(join(folder, 'job.yaml'), text)
  const pipeline = await loadPipeline(join(folder, 'job.yaml'), {})
  const out = join(folder, 'out')
  const events: RunEvent[] = []
  const run = (options: Partial<RunOptions> = {}) =>
    runPipeline(pipeline, {
      outFolder: out,
      overwrite: false,
      signal: new AbortController().signal,
      onEvent: (event) => events.push(event),
      ...options,
    })
  return { folder, out, run, events }
}

const sha256 = async (path: string) =>
  createHash('sha256')
    .update(await readFile(path))
    .digest('hex')
const missing = (path: string) =>
  access(path).then(
    () => false,
    () => true,
  )

describe('a run', () => {
  it('writes what its record says, and nothing else', async () => {
    const { folder, out, run } = await job()
    const record = await run()
    const written: RunRecord = JSON.parse(await readFile(join(out, 'run.json'), 'utf8'))
    expect(written).toEqual(JSON.parse(JSON.stringify(record)))
    expect(written.tool).toEqual(TOOL)
    expect(written.inputs).toEqual([
      expect.objectContaining({ path: 'capture.tif', width: 700, height: 500, ppi: 300 }),
    ])
    expect(written.inputs[0].sha256).toBe(await sha256(join(folder, 'capture.tif')))
    expect(written.outputs.map(({ path }) => path)).toEqual([
      'master.tif',
      'prints/small.tif',
      'cards/card.pdf',
    ])
    for (const { path, sha256: stated } of written.outputs) expect(stated).toBe(await sha256(join(out, path)))
    expect(written.timings.map(({ stage }) => stage)).toEqual(
      expect.arrayContaining(['hue', 'small', 'card']),
    )
    expect(JSON.stringify(written)).not.toContain(folder)
    expect((await readdir(out)).sort()).toEqual([
      'cards',
      'master.tif',
      'prints',
      'report',
      'run.json',
      'ticket.md',
    ])
    expect((await readdir(folder)).sort()).toEqual(['capture.tif', 'job.yaml', 'out'])
  })

  it('gives the same bytes whatever the number of threads, and again', async () => {
    const { folder, run } = await job()
    const sums: string[][] = []
    for (const [i, threads] of [1, 2, 3].entries()) {
      const record = await run({ threads, outFolder: join(folder, `out-${i}`) })
      sums.push(record.outputs.map(({ sha256: sum }) => sum))
    }
    expect(sums[1]).toEqual(sums[0])
    expect(sums[2]).toEqual(sums[0])
  })

  it('is not begun where an earlier run lies, unless told to', async () => {
    const { out, run } = await job()
    await run()
    const before = await sha256(join(out, 'run.json'))
    await expect(run()).rejects.toThrow(RequestError)
    expect(await sha256(join(out, 'run.json'))).toBe(before)
    await run({ overwrite: true })
    expect(await sha256(join(out, 'run.json'))).not.toBe(before)
  })

  it('is not begun where files of somebody else bear the name of what it would write', async () => {
    const { out, run, events } = await job()
    const foreign = ['master.tif', 'prints/small.tif', 'cards/card.pdf']
    for (const path of foreign) {
      await mkdir(dirname(join(out, path)), { recursive: true })
      await writeFile(join(out, path), 'not ours')
    }
    const refused = await run({ overwrite: true }).catch((error) => error)
    expect(refused).toBeInstanceOf(RequestError)
    expect(refused.problems).toEqual(
      foreign.map((path) =>
        expect.objectContaining({
          where: join(out, path),
          what: 'a file that no run of this tool wrote is in the way',
        }),
      ),
    )
    expect(events).toEqual([])
    for (const path of foreign) expect(await readFile(join(out, path), 'utf8')).toBe('not ours')
  })

  it('stopped by the person leaves no trace, within a second', async () => {
    const { folder, out, run } = await job()
    const stop = new AbortController()
    let stoppedAt = 0
    const onEvent = (event: RunEvent) => {
      if (event.event === 'progress' && event.stage === 'master' && !stoppedAt) {
        stoppedAt = performance.now()
        stop.abort()
      }
    }
    await expect(run({ signal: stop.signal, onEvent })).rejects.toThrow(Interrupted)
    expect(stoppedAt).toBeGreaterThan(0)
    expect(performance.now() - stoppedAt).toBeLessThan(1000)
    expect(await missing(out)).toBe(true)
    expect((await readdir(folder)).sort()).toEqual(['capture.tif', 'job.yaml'])
  })

  it('that fails keeps the earlier run whole', async () => {
    const { folder, out, run } = await job()
    await run()
    const before = await sha256(join(out, 'master.tif'))
    await writeFile(join(folder, 'capture.tif'), 'no picture at all')
    await expect(run({ overwrite: true })).rejects.toThrow(/capture\.tif/)
    expect(await sha256(join(out, 'master.tif'))).toBe(before)
    expect((await readdir(folder)).sort()).toEqual(['capture.tif', 'job.yaml', 'out'])
  })

  it('tells its stages in order and never goes back', async () => {
    const { run, events } = await job()
    await run()
    const overall = events.flatMap((event) => (event.event === 'progress' ? [event.overall] : []))
    expect(overall.length).toBeGreaterThan(5)
    expect(overall).toEqual([...overall].sort((a, b) => a - b))
    expect(events.at(-1)).toMatchObject({ event: 'done' })
    for (const stage of ['hue', 'master', 'small', 'card', 'report']) {
      const shares = events.flatMap((event) =>
        event.event === 'progress' && event.stage === stage ? [event.share] : [],
      )
      expect(shares.at(0)).toBeLessThan(1)
      expect(shares.at(-1)).toBe(1)
    }
  })
})
