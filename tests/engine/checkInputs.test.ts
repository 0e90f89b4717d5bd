import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { checkInputs } from '../../src/engine/checkInputs.js'
import { planRun } from '../../src/engine/planRun.js'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { FinetoothError, RequestError } from '../../src/errors.js'
import { writePicture } from '../../src/files/writePicture.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import { emptyRaster } from '../../src/raster/Raster.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const create = { width: 40, height: 30, channels: 3 as const, background: '#c8b496' }

async function job(text: string) {
  const folder = await temporaryFolder()
  await sharp({ create }).withDensity(300).tiff().toFile(join(folder, 'sound.tif'))
  await sharp({ create }).toColourspace('cmyk').tiff().toFile(join(folder, 'inks.tif'))
  await writeFile(join(folder, 'empty.tif'), '')
  await writeFile(join(folder, 'odd.tif'), '')
  await writeFile(join(folder, 'job.yaml'), text)
  const pipeline = await loadPipeline(join(folder, 'job.yaml'), { currentFolder: folder })
  const run = () =>
    runPipeline(pipeline, {
      ...{ outFolder: join(folder, 'out'), overwrite: false, threads: 1 },
      ...{ signal: new AbortController().signal, onEvent: () => {} },
    })
  return { folder, pipeline, run }
}

async function failure(work: Promise<unknown>): Promise<FinetoothError> {
  const error = await work.then(
    () => undefined,
    (cause: unknown) => cause,
  )
  expect(error).toBeInstanceOf(FinetoothError)
  return error as FinetoothError
}

describe('before any pixel is read', () => {
  it('every capture, board and chart that cannot be used is named', async () => {
    const { pipeline, run } = await job(`captures: { files: [sound.tif, inks.tif] }
steps:
  - colour: { chart: empty.tif }
  - stitch
`)
    for (const work of [() => checkInputs(pipeline), () => planRun(pipeline), run]) {
      const error = await failure(work())
      expect(error).toBeInstanceOf(RequestError)
      expect(error.problems.map(({ where }) => where)).toEqual([
        expect.stringMatching(/inks\.tif$/),
        expect.stringMatching(/empty\.tif$/),
      ])
    }
  })

  it('a profile that is damaged, or another kind of file, is told, embedded or named', async () => {
    const { folder, pipeline } = await job('captures: { files: [sound.tif, odd.tif] }\nsteps: [stitch]\n')
    const profile = Buffer.from(profileBytes('sRGB'))
    profile.write('link', 12, 'latin1')
    const raster = emptyRaster(8, 8)
    await writePicture(join(folder, 'odd.tif'), raster, { format: 'tif', depth: 16, ppi: 300, profile })
    expect((await failure(checkInputs(pipeline))).message).toMatch(/odd\.tif: .*found a device link/)
    const named = { ...pipeline.captures, profile: join(folder, 'sound.tif') }
    expect((await failure(checkInputs({ ...pipeline, captures: named }))).message).toMatch(
      /sound\.tif: .*no ICC profile|too short/,
    )
  })

  it('every output that cannot be made is named, with its place in the file', async () => {
    const { pipeline, run } = await job(`captures: { files: [sound.tif] }
outputs:
  - print: { name: large, sheet: A5, image: { width: 300mm } }
  - print: { name: sound, sheet: A5 }
  - card: { name: tight, sheet: A6 }
`)
    for (const work of [() => planRun(pipeline), run]) {
      const error = await failure(work())
      expect(error.problems).toEqual([
        expect.objectContaining({
          where: 'job.yaml:3:5',
          what: expect.stringContaining('print large'),
          expected: expect.any(String),
          found: expect.any(String),
        }),
        expect.objectContaining({ where: 'job.yaml:5:5', what: expect.stringContaining('card tight') }),
      ])
    }
  })

  it('a stated size of another shape than the capture is warned of', async () => {
    const { pipeline } = await job('captures: { files: [sound.tif], size: { width: 40mm, height: 60mm } }\n')
    const { warnings, master } = await planRun(pipeline)
    expect(warnings.map(({ message }) => message)).toContainEqual(
      expect.stringMatching(
        /captures\.size says 40 x 60 mm, another shape than the 40 x 30 pixels of sound\.tif/,
      ),
    )
    expect(master.ppi).toBeCloseTo(25.4)
  })
})
