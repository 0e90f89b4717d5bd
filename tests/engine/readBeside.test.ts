import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import sharp from 'sharp'
import { expect, it } from 'vitest'
import { besideOf } from '../../src/engine/besideOf.js'
import { readBeside } from '../../src/engine/readBeside.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const signal = new AbortController().signal

it('a see-through mark is laid on white, as another program lays it', async () => {
  const folder = await temporaryFolder()
  const path = join(folder, 'mark.png')
  const [width, height] = [64, 32]
  const rgba = Buffer.from(
    Array.from({ length: width * height }, (_, i) => [20, 90, 200, (i % width) * 4]).flat(),
  )
  await sharp(rgba, { raw: { width, height, channels: 4 } })
    .png()
    .toFile(path)
  const { data } = await readBeside(path, { width: 999, height: 999 }, 'sRGB', signal)
  const flat = await sharp(path).flatten({ background: '#fff' }).raw().toBuffer()
  expect(data.length).toBe(flat.length)
  data.forEach((value, i) => {
    expect(Math.abs(value / 257 - flat[i])).toBeLessThan(1.01)
  })
})

it('a large mark is reduced to what it is asked for, in light, and keeps its shape', async () => {
  const folder = await temporaryFolder()
  const path = join(folder, 'lines.png')
  const [width, height] = [400, 200]
  const lines = Buffer.from(Array.from({ length: width * height }, (_, i) => (i % 2) * 255))
  await sharp(lines, { raw: { width, height, channels: 1 } })
    .png()
    .toFile(path)
  const reduced = await readBeside(path, { width: 999, height: 50 }, 'sRGB', signal)
  expect([reduced.width, reduced.height]).toEqual([100, 50])
  // Half of the light is code 188 of 255 (IEC 61966-2-1).
  expect(reduced.data[(25 * 100 + 50) * 3] / 257).toBeCloseTo(188, -1)
})

it('what is no picture is said with its path, before any pixel is read', async () => {
  const folder = await temporaryFolder()
  await testCapture(folder, 'scan.tif', 60, 40)
  await writeFile(join(folder, 'mark.png'), 'no picture')
  await writeFile(
    join(folder, 'job.yaml'),
    'captures: { files: [scan.tif] }\noutputs:\n  - card: { mark: mark.png }\n',
  )
  const pipeline = await loadPipeline(join(folder, 'job.yaml'))
  await expect(besideOf(pipeline)).rejects.toThrow(/mark\.png/)
  await writeFile(
    join(folder, 'job.yaml'),
    'captures: { files: [scan.tif] }\noutputs:\n  - card: { mark: none.png }\n',
  )
  await expect(loadPipeline(join(folder, 'job.yaml'))).rejects.toThrow(/none\.png/)
})
