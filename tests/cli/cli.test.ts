import { spawn } from 'node:child_process'
import { access, constants, mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const CLI = join(import.meta.dirname, '../../dist/src/cli.js')

interface Ended {
  status: number | null
  out: string
  err: string
  /** Milliseconds from the signal sent to the end. */
  afterSignalMs: number
}

/** Runs the built program; `onOut` sees its output as it comes and may send signals. */
function finetooth(
  folder: string,
  argv: readonly string[],
  onOut?: (text: string, send: (signal: NodeJS.Signals) => void) => void,
): Promise<Ended> {
  const child = spawn(process.execPath, [CLI, ...argv], { cwd: folder })
  let [out, err, sentAt] = ['', '', Number.NaN]
  const send = (signal: NodeJS.Signals) => {
    if (Number.isNaN(sentAt)) sentAt = performance.now()
    child.kill(signal)
  }
  child.stdout.on('data', (chunk) => {
    out += chunk
    onOut?.(out, send)
  })
  child.stderr.on('data', (chunk) => (err += chunk))
  return new Promise((resolve) =>
    child.on('close', (status) => resolve({ status, out, err, afterSignalMs: performance.now() - sentAt })),
  )
}

/** A folder with one small picture and a pipeline. */
async function job({ sidePx = 64, steps = '' } = {}): Promise<string> {
  const folder = await temporaryFolder()
  await mkdir(join(folder, 'captures'))
  const create = { width: sidePx, height: sidePx, channels: 3 as const, background: '#c8b496' }
  await sharp({ create }).withDensity(300).tiff().toFile(join(folder, 'captures/scan.tif'))
  await writeFile(
    join(folder, 'boats.yaml'),
    `title: Boats\ncaptures: { files: [captures/scan.tif] }\n${steps}outputs:\n  - print: { name: same, image: original-size }\n`,
  )
  return folder
}

describe('the built program', () => {
  it('is executable and starts by itself', async () => {
    await access(CLI, constants.X_OK)
    expect(await readFile(CLI, 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/)
  })

  it('does the main job, states it line by line, and keeps an earlier run', async () => {
    const folder = await job()
    const first = await finetooth(folder, ['run', 'boats.yaml', '--threads', '1'])
    expect(first.err).not.toMatch(/\n\s+at /)
    expect(first.status).toBe(0)
    expect(first.out).toMatch(/^captures( \.\.\.\ncaptures)? done/)
    expect(first.out).toMatch(/wrote prints\/same\.tif\n/)
    const record = JSON.parse(await readFile(join(folder, 'boats-out/run.json'), 'utf8'))
    expect(record).toMatchObject({ record: 1, threads: 1, tool: { name: 'finetooth' } })
    expect((await readdir(folder)).sort()).toEqual(['boats-out', 'boats.yaml', 'captures'])

    const again = await finetooth(folder, ['run', 'boats.yaml'])
    expect(again.status).toBe(2)
    expect(again.err).toContain('--overwrite')
    const over = await finetooth(folder, [
      'run',
      'boats.yaml',
      '--overwrite',
      '--json',
      '--set',
      'title=Boats two',
    ])
    expect(over.status).toBe(0)
    const events = over.out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(events.at(-1)).toMatchObject({ event: 'done', folder: join(folder, 'boats-out') })
    expect(events.map(({ event }) => event)).toContain('progress')
    expect(JSON.parse(await readFile(join(folder, 'boats-out/run.json'), 'utf8')).pipeline.title).toBe(
      'Boats two',
    )
  })

  it('checks without writing anything', async () => {
    const folder = await job()
    const { status, out } = await finetooth(folder, ['check', 'boats.yaml', '--json'])
    expect(status).toBe(0)
    expect(JSON.parse(out)).toMatchObject({ event: 'plan', captures: [{ width: 64, ppi: 300 }] })
    expect((await readdir(folder)).sort()).toEqual(['boats.yaml', 'captures'])
  })

  it('makes a folder to start from, which can be checked once the captures are there', async () => {
    const folder = await job()
    expect((await finetooth(folder, ['new', 'mine'])).status).toBe(0)
    const without = await finetooth(folder, ['check', 'mine/pipeline.yaml'])
    expect(without.status).toBe(2)
    expect(without.err).toMatch(
      /^mine\/pipeline\.yaml:\d+:7: captures\.files\.0: no file matches captures\/\*\.tif/,
    )
    await writeFile(join(folder, 'mine/captures/scan.tif'), await readFile(join(folder, 'captures/scan.tif')))
    expect(await finetooth(folder, ['check', 'mine/pipeline.yaml'])).toMatchObject({ status: 0 })
  })

  it.each([
    [['check', 'nix.yaml'], 2, /nix\.yaml: there is no such file/],
    [['run', 'captures'], 2, /captures: this is a folder/],
    [['run', 'boats.yaml', '--set', 'captures.profile=captures/scan.tif'], 2, /scan\.tif/],
    [['run', 'boats.yaml', '--out', 'boats.yaml'], 2, /boats\.yaml: the output folder is a file/],
  ])('%j exits with %i, one sentence, and nothing written', async (argv, exitStatus, message) => {
    const folder = await job()
    const { status, out, err } = await finetooth(folder, argv)
    expect(status).toBe(exitStatus)
    expect(out).toBe('')
    expect(err).toMatch(message)
    expect(err).not.toMatch(/\n\s+at /)
    expect((await readdir(folder)).sort()).toEqual(['boats.yaml', 'captures'])
  })

  it.each(['SIGINT', 'SIGTERM'] as const)('stops on %s with 130 and leaves nothing', async (signal) => {
    const folder = await job({ sidePx: 3000, steps: 'steps:\n  - hue: [ { around: blue, shift: 3 } ]\n' })
    let sent = false
    const ended = await finetooth(folder, ['run', 'boats.yaml', '--json'], (_, send) => {
      if (!sent) send(signal)
      sent = true
    })
    expect(ended.status).toBe(130)
    expect(ended.out).toContain('"exitStatus":130')
    expect(ended.err).toMatch(/^interrupted/m)
    // One second is promised; the machine that runs the tests may be busy with others.
    expect(ended.afterSignalMs).toBeLessThan(5000)
    expect((await readdir(folder)).sort()).toEqual(['boats.yaml', 'captures'])
  })
})
