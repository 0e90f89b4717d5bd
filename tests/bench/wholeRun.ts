import { execFileSync } from 'node:child_process'
import { readFile, rm, writeFile } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import type { RunRecord } from '../../src/runRecord.js'
import { ioFloor } from './ioFloor.js'
import { largeScan } from './largeScan.js'
import { row } from './row.js'

const CLI = resolve(import.meta.dirname, '../../dist/src/cli.js')

/** The whole job on a 70-megapixel 16-bit scan against only reading and writing that file; time and memory. */
export async function wholeRun(): Promise<void> {
  const scan = await largeScan()
  const folder = dirname(scan)
  const pipeline = join(folder, 'large.yaml')
  const out = join(folder, 'large-out')
  await writeFile(
    pipeline,
    `pipeline: 1
title: Bench
captures: { kind: flatbed, files: [${JSON.stringify(scan)}] }
steps: [paper-texture, paper-white]
outputs:
  - print: { name: full, sheet: A3+, image: fit, border: 15mm, ppi: 300 }
  - card: { name: card, format: a6-folded, sheet: A4 }
`,
  )
  const floorPath = join(folder, 'floor.tif')
  const floor = await ioFloor(scan, floorPath)
  const plan = execFileSync(process.execPath, [CLI, 'check', pipeline, '--json'], { encoding: 'utf8' })
  const started = performance.now()
  execFileSync(process.execPath, [CLI, 'run', pipeline, '--out', out, '--overwrite', '--quiet'], {
    stdio: 'inherit',
  })
  const seconds = (performance.now() - started) / 1000
  const record: RunRecord = JSON.parse(await readFile(join(out, 'run.json'), 'utf8'))
  const estimate: number = JSON.parse(plan).seconds
  row(
    'estimate of check',
    `${(estimate / seconds).toFixed(2)} x the run`,
    '0.67 to 1.5',
    estimate > seconds / 1.5 && estimate < seconds * 1.5,
  )
  const pictureBytes = record.inputs[0].width! * record.inputs[0].height! * 6
  row('read and write 70 Mpx', `${floor.toFixed(2)} s`, 'the floor')
  row('whole run', `${(seconds / floor).toFixed(2)} x the floor`, 'at most 4', seconds / floor <= 4)
  const allowed = 2.2 * pictureBytes + 400e6
  const peak = record.peakMemoryBytes
  row(
    'peak memory',
    `${(peak / 1e6).toFixed(0)} MB`,
    `at most ${(allowed / 1e6).toFixed(0)} MB`,
    peak <= allowed,
  )
  for (const { stage, seconds: stageSeconds } of record.timings) {
    row(`  ${stage}`, `${(stageSeconds / floor).toFixed(2)} x the floor`, `${stageSeconds.toFixed(2)} s`)
  }
  await rm(floorPath)
  await rm(out, { recursive: true })
}
