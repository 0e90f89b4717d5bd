import { afterAll, expect, it } from 'vitest'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { openCapture } from '../../src/engine/openCapture.js'
import { renderMaster } from '../../src/engine/renderMaster.js'
import { sharedTransform } from '../../src/engine/sharedTransform.js'
import { newChain } from '../../src/engine/takeReadings.js'
import { WorkerPool } from '../../src/engine/WorkerPool.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const { signal } = new AbortController()
const pool = new WorkerPool({ threads: 2, signal })
afterAll(() => pool.close())

it('gives back a capture bit for bit where there is no step and the space is its own, whatever the tiles', async () => {
  const path = await testCapture(await temporaryFolder(), 'capture.tif')
  const { raster: captured } = await openCapture(path, 'capture.tif', undefined, pool)
  const chain = newChain([{ raster: captured, transform: sharedTransform(spaceTransform('sRGB')) }], [])
  for (const tilePx of [64, 333, 1024]) {
    const { raster } = await renderMaster(pool, chain, captured, 'sRGB', () => {}, tilePx)
    expect(Buffer.compare(Buffer.from(raster.data.buffer), Buffer.from(captured.data.buffer))).toBe(0)
  }
})
