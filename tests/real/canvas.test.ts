import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { decodePicture } from '../../src/files/decodePicture.js'
import { haveReal, measured, real, runReal } from './realRun.js'

/** Ink and colour on silk, evenly lit: the weave shows as dark gaps between pale threads. Public domain. */
const SILK = 'canvas/ink-on-silk.jpg'
/** Oil on canvas under a lamp from one side. */
const WEAVE = 'canvas/oil-strong-weave.jpg'

const job = (file: string) => `captures: { kind: flatbed, ppi: 300, files: [${JSON.stringify(real(file))}] }
steps: [paper-texture]
master: { space: sRGB }
outputs:
  - print: { name: same-size, image: original-size }
`

describe.skipIf(!haveReal('Ink on silk', SILK))('silk without light and shade', () => {
  it('is left as it is, to the bit, and that is said', async () => {
    const { out, record, report } = await runReal(job(SILK))
    const before = (await decodePicture(real(SILK))).raster
    const after = (await decodePicture(join(out, record.outputs[0].path))).raster
    let most = 0
    before.data.forEach((value, i) => {
      most = Math.max(most, Math.abs(value - after.data[i]))
    })
    expect(most).toBeLessThanOrEqual(1)
    expect(report).toMatch(/part of the picture, which is left exactly as it is/)
  })
})

describe.skipIf(!haveReal('Canvas under a lamp', WEAVE))('canvas under a lamp', () => {
  it('counts as relief', async () => {
    const { record } = await runReal(job(WEAVE))
    expect(measured(record, 'paper-texture', 'relief left on blank paper')).toBeLessThan(-6)
  })
})
