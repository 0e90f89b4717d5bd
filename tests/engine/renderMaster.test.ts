import { afterAll, expect, it } from 'vitest'
import { openCapture } from '../../src/engine/openCapture.js'
import { renderMaster } from '../../src/engine/renderMaster.js'
import { newChain } from '../../src/engine/takeReadings.js'
import { WorkerPool } from '../../src/engine/WorkerPool.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const { signal } = new AbortController()
const pool = new WorkerPool({ threads: 2, signal })
afterAll(() => pool.close())

it('gives back a capture bit for bit where there is no step and the space is its own, whatever the tiles', async () => {
  const path = await testCapture(await temporaryFolder(), 'capture.tif')
  const capture = await openCapture(path, 'capture.tif', undefined, signal)
  const chain = newChain([capture], [])
  for (const tilePx of [64, 333, 1024]) {
    const { raster } = await renderMaster(pool, chain, capture.raster, 'sRGB', () => {}, tilePx)
    expect(Buffer.compare(Buffer.from(raster.data.buffer), Buffer.from(capture.raster.data.buffer))).toBe(0)
  }
})
