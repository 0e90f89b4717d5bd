import { join } from 'node:path'
import { expect, it } from 'vitest'
import { renderOutputs } from '../../src/engine/renderOutputs.js'
import { WorkerPool } from '../../src/engine/WorkerPool.js'
import { decodePicture } from '../../src/files/decodePicture.js'
import { OUTPUTS } from '../../src/outputs/registry.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'
import { masterInfo } from '../outputs/derived.js'

it('takes as many outputs at once as the memory of the master, in their order, and tells how far each is', async () => {
  const folder = await temporaryFolder()
  const { raster } = await decodePicture(await testCapture(folder, 'master.tif', 300, 200))
  const info = masterInfo(300, 200, { ppi: 100, space: 'sRGB' })
  const pool = new WorkerPool({ threads: 2, signal: new AbortController().signal })
  // The first is as large as the master; the next two fit together; the last is larger than the master.
  const widths = ['7.6cm', '3cm', '4cm', '9cm']
  const planned = widths.map((width, i) => {
    const output = OUTPUTS.get('print')!
    const params = output.params.parse({ name: `p${i}`, image: { width }, ppi: 100 })
    return {
      kind: 'print',
      name: `p${i}`,
      output,
      params,
      plan: output.plan(params, info),
      beside: new Map(),
    }
  })
  const told: [index: number, share: number][] = []
  const rendered = await renderOutputs(planned, { info, raster }, pool, folder, (i, share) => {
    told.push([i, share])
  }).finally(() => pool.close())
  expect(rendered).toHaveLength(4)
  for (const [i, { seconds, preview }] of rendered.entries()) {
    expect(seconds).toBeGreaterThan(0)
    expect(preview!.caption).toContain(`prints/p${i}.tif`)
    const { header } = await decodePicture(join(folder, `prints/p${i}.tif`))
    expect(header.width).toBe(planned[i].plan.files[0].width)
  }
  const order = told.map(([i]) => i)
  const firstOf = (i: number) => order.indexOf(i)
  const lastOf = (i: number) => order.lastIndexOf(i)
  expect(firstOf(1)).toBeGreaterThan(lastOf(0))
  expect(firstOf(2)).toBeLessThan(lastOf(1))
  expect(firstOf(3)).toBeGreaterThan(Math.max(lastOf(1), lastOf(2)))
  for (const i of [0, 1, 2, 3]) {
    const shares = told.filter(([index]) => index === i).map(([, share]) => share)
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
  }
})
