import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const CLI = join(import.meta.dirname, '../../dist/src/cli.js')

/** Runs the job with `--json` and stops it as soon as a line holds this text. */
function stoppedAt(folder: string, text: string) {
  const child = spawn(process.execPath, [CLI, 'run', 'job.yaml', '--json', '--overwrite'], { cwd: folder })
  let [out, err, sentAt] = ['', '', Number.NaN]
  child.stdout.on('data', (chunk) => {
    out += chunk
    if (Number.isNaN(sentAt) && out.includes(text)) {
      sentAt = performance.now()
      child.kill('SIGINT')
    }
  })
  child.stderr.on('data', (chunk) => (err += chunk))
  return new Promise<{ status: number | null; lines: string[]; err: string; afterMs: number }>((resolve) =>
    child.on('close', (status) =>
      resolve({ status, lines: out.trimEnd().split('\n'), err, afterMs: performance.now() - sentAt }),
    ),
  )
}

const hash = async (path: string) =>
  createHash('sha256')
    .update(await readFile(path))
    .digest('hex')

it('stopped at any stage, an earlier run is as it was and nothing else is left', async () => {
  const folder = await temporaryFolder()
  await testCapture(folder, 'scan.tif', 1100, 800)
  await writeFile(
    join(folder, 'job.yaml'),
    `captures: { files: [scan.tif] }
steps: [paper-texture, paper-white]
outputs:
  - print: { name: large, image: original-size, ppi: 600 }
  - card: { name: card }
`,
  )
  const whole = await stoppedAt(folder, 'this is never said')
  expect(whole.status).toBe(0)
  const out = join(folder, 'job-out')
  const files = (await readdir(out, { recursive: true })).sort()
  const before = await hash(join(out, 'run.json'))

  for (const stage of ['captures', 'paper-texture', 'master', 'large', 'report']) {
    const { status, lines, err, afterMs } = await stoppedAt(folder, `"stage":"${stage}"`)
    expect({ stage, status }).toEqual({ stage, status: 130 })
    // One second is promised; the machine that runs the tests may be busy with others.
    expect(afterMs).toBeLessThan(5000)
    const events = lines.map((line) => JSON.parse(line))
    expect(events.at(-1)).toMatchObject({ event: 'error', exitStatus: 130 })
    expect(err).toMatch(/^interrupted/m)
    expect(err).not.toMatch(/\n\s+at /)
    expect((await readdir(folder)).sort()).toEqual(['job-out', 'job.yaml', 'scan.tif'])
    expect((await readdir(out, { recursive: true })).sort()).toEqual(files)
    expect(await hash(join(out, 'run.json'))).toBe(before)
  }
})
