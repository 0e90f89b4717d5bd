import { createHash } from 'node:crypto'
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { otherInputs } from '../../src/engine/otherInputs.js'
import { WorkerPool } from '../../src/engine/WorkerPool.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

it('the record knows every file a run reads besides its captures', async () => {
  const folder = await temporaryFolder()
  await mkdir(join(folder, 'light'))
  for (const name of ['scan.tif', 'light/board.tif', 'light/chart.tif', 'mark.tif'])
    await testCapture(folder, name, 60, 40)
  await writeFile(join(folder, 'light/chart.txt'), 'CGATS.17\n')
  await writeFile(join(folder, 'scanner.icc'), profileBytes('opRGB'))
  await writeFile(
    join(folder, 'job.yaml'),
    `captures: { files: [scan.tif], profile: scanner.icc }
steps:
  - flat-field: { board: light/board.tif }
  - colour: { chart: light/chart.tif, reference: light/chart.txt }
outputs:
  - card: { name: thanks, mark: mark.tif }
`,
  )
  const pipeline = await loadPipeline(join(folder, 'job.yaml'))
  const pool = new WorkerPool({ threads: 1, signal: new AbortController().signal })
  const inputs = await otherInputs(pipeline, pool).finally(() => pool.close())
  expect(inputs.map(({ use, path, width, height }) => ({ use, path, width, height }))).toEqual([
    { use: 'captures.profile', path: 'scanner.icc', width: null, height: null },
    { use: 'flat-field.board', path: 'light/board.tif', width: 60, height: 40 },
    { use: 'colour.chart', path: 'light/chart.tif', width: 60, height: 40 },
    { use: 'colour.reference', path: 'light/chart.txt', width: null, height: null },
    { use: 'thanks.mark', path: 'mark.tif', width: 60, height: 40 },
  ])
  for (const { path, sha256 } of inputs) {
    expect(sha256).toBe(
      createHash('sha256')
        .update(await readFile(join(folder, path)))
        .digest('hex'),
    )
  }
  // `captures.profile` holds for what was captured; the mark says itself what its numbers mean.
  const profiles = new Map(inputs.map(({ use, profile }) => [use, profile]))
  expect(profiles.get('colour.chart')).toMatch(/opRGB/)
  expect(profiles.get('colour.reference')).toBeNull()
  expect(profiles.get('thanks.mark')).toMatch(/sRGB/)
})
