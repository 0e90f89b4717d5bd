import { expect, it } from 'vitest'
import { paperTexture } from '../../../src/steps/paper-texture/step.js'
import { reliefLeft } from '../../../src/steps/stitch/combine/reliefLeft.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { sheet } from './pictures.js'

const params = paperTexture.params.parse({})

it('leaves a picture alone, to the bit, where an earlier step left less relief than noise and pigment show', async () => {
  const source = tileSource(sheet(256, 192))
  const context = { ...readContext([source], { ppi: 300 }), reliefLeft: 0.005 }
  const reading = await paperTexture.read([source], params, context)
  expect(reading).toMatchObject({ textured: false, basis: 'earlier step', reliefRmsPercent: 0.5 })
  expect(paperTexture.apply([source], reading, params)[0]).toBe(source)
  expect(JSON.stringify(paperTexture.findings(reading, params))).toContain('An earlier step left 0.5 % RMS')
})

it('works on what an earlier step left where that is much', async () => {
  const source = tileSource(sheet(256, 192))
  const context = { ...readContext([source], { ppi: 300 }), reliefLeft: 0.03 }
  expect((await paperTexture.read([source], params, context)).textured).toBe(true)
})

it('is told by a combination what it left, and only where that covers the sheet', () => {
  const combining = { featherPx: 8, severalShare: 0.95, opposedShare: 0.95, reliefRms: 0.06, reliefDb: -20 }
  expect(reliefLeft(combining)).toBeCloseTo(0.006, 12)
  expect(reliefLeft({ ...combining, severalShare: 0.5 })).toBeUndefined()
  expect(reliefLeft({ ...combining, reliefDb: undefined })).toBeUndefined()
})
