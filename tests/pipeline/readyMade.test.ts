import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { loadPipeline } from '../../src/pipeline/Pipeline.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const PIPELINES = join(import.meta.dirname, '../../pipelines')

/** A folder with one ready-made pipeline and empty files for everything it names. Loading opens no picture. */
async function jobFolder(name: string, captures: readonly string[]): Promise<string> {
  const folder = await temporaryFolder()
  await mkdir(join(folder, 'captures'))
  await copyFile(join(PIPELINES, `${name}.yaml`), join(folder, 'pipeline.yaml'))
  for (const capture of captures) await writeFile(join(folder, 'captures', capture), '')
  return folder
}

describe('a ready-made pipeline', () => {
  it.each([
    ['flatbed-single', ['scan.tif'], ['paper-texture', 'paper-white'], ['same-size', 'card']],
    [
      'flatbed-tiles',
      ['a.tif', 'b.tif'],
      ['stitch', 'paper-texture', 'paper-white'],
      ['same-size', 'full', 'card'],
    ],
    [
      'camera-frames',
      ['frame-1.tif', 'frame-2.tif', 'board.tif', 'chart.tif'],
      ['flat-field', 'colour', 'stitch', 'paper-texture', 'paper-white'],
      ['same-size', 'full'],
    ],
    ['cards-only', ['master.tif'], [], ['small', 'large']],
    ['prints-only', ['master.tif'], [], ['small', 'medium', 'large']],
  ])('%s loads beside its captures', async (name, captures, steps, outputs) => {
    const pipeline = await loadPipeline(join(await jobFolder(name, captures), 'pipeline.yaml'))
    expect(pipeline.steps.map((step) => step.name)).toEqual(steps)
    expect(pipeline.outputs.map((output) => output.name)).toEqual(outputs)
  })

  it('can be extended by its name alone', async () => {
    const folder = await jobFolder('flatbed-single', ['scan.tif'])
    const file = join(folder, 'mine.yaml')
    await writeFile(file, 'extends: flatbed-single\ntitle: Mine\ncaptures: { files: [captures/scan.tif] }\n')
    const pipeline = await loadPipeline(file)
    expect(pipeline.title).toBe('Mine')
    expect(pipeline.captures.files.map(({ path }) => path)).toEqual([join(folder, 'captures/scan.tif')])
    expect(pipeline.steps.map(({ name }) => name)).toEqual(['paper-texture', 'paper-white'])
  })

  it('misspelt in extends is told with the names there are', async () => {
    const folder = await jobFolder('flatbed-single', ['scan.tif'])
    const file = join(folder, 'mine.yaml')
    await writeFile(file, 'extends: flatbed-singel\ncaptures: { files: [captures/scan.tif] }\n')
    await expect(loadPipeline(file)).rejects.toThrow(
      /mine\.yaml:1:10: extends: there is no ready-made pipeline flatbed-singel \(expected one of camera-frames, .*ending\)\. Nearest spelling: flatbed-single\.$/,
    )
  })

  it('says which file is missing where it is run as it is', async () => {
    const folder = await jobFolder('flatbed-single', [])
    await expect(loadPipeline(join(folder, 'pipeline.yaml'))).rejects.toThrow(
      /pipeline\.yaml:\d+:7: captures\.files\.0: no file matches captures\/\*\.tif/,
    )
  })

  it('has a comment for whoever reads it, and a title that new can fill in', async () => {
    for (const name of ['flatbed-single', 'flatbed-tiles', 'camera-frames', 'cards-only', 'prints-only']) {
      const text = await readFile(join(PIPELINES, `${name}.yaml`), 'utf8')
      expect(text.split('\n').filter((line) => line.startsWith('# ')).length).toBeGreaterThan(1)
      expect(text).toMatch(/^title: Untitled$/m)
    }
  })
})
