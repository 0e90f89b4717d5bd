import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { blankBoard } from '../../demo-data/blankBoard.js'
import { chartCapture } from '../../demo-data/chartCapture.js'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { writeTiff } from '../../src/files/tiff/writeTiff.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const LAMP = {
  lampFromDeg: 10,
  falloff: 0.05,
  device: 'scanner',
  noise: 0.002,
  blurPx: 0.5,
  seed: 3,
} as const

async function warningsOf(text: string): Promise<string[]> {
  const folder = await temporaryFolder()
  const untagged = async (name: string, width: number, height: number) => {
    const { raster } = chartCapture({ ...LAMP, width, height, share: 0.8 })
    await writeTiff(join(folder, name), raster, { depth: 16, ppi: 300 })
  }
  const board = blankBoard({ ...LAMP, width: 480, height: 360 })
  await writeTiff(join(folder, 'board.tif'), board, { depth: 16, ppi: 300 })
  for (const name of ['wide.tif', 'wide-2.tif']) {
    await writeTiff(join(folder, name), blankBoard({ ...LAMP, width: 480, height: 300 }), {
      ...{ depth: 16, ppi: 300 },
    })
  }
  await untagged('chart.tif', 480, 360)
  await untagged('other.tif', 480, 300)
  await writeFile(join(folder, 'job.yaml'), `pipeline: 1\nreport: false\n${text}`)
  const { warnings } = await runPipeline(await loadPipeline(join(folder, 'job.yaml'), {}), {
    ...{ outFolder: join(folder, 'out'), overwrite: false, threads: 1 },
    ...{ signal: new AbortController().signal, onEvent: () => {} },
  })
  return warnings.map(({ message }) => message)
}

describe('a chart', () => {
  it('that is a capture too is told of once where it says nothing of its numbers', async () => {
    const warnings = await warningsOf(
      'captures: { files: [chart.tif] }\nsteps:\n  - colour: { chart: chart.tif, fit: matrix }\n',
    )
    expect(warnings.filter((text) => /carries no profile/.test(text))).toHaveLength(1)
  })

  it('or boards that say nothing of their numbers are told of in one sentence', async () => {
    const warnings = await warningsOf(
      'captures: { files: [other.tif] }\nsteps:\n  - flat-field: { board: [wide.tif, wide-2.tif] }\n',
    )
    expect(warnings.filter((text) => /no profile/.test(text))).toEqual([
      expect.stringContaining('other.tif carries'),
      expect.stringContaining('wide.tif and 1 more carry'),
    ])
  })

  it('of another frame than the board is not evened out by it, and that is said', async () => {
    const warnings = await warningsOf(`captures: { files: [chart.tif], profile: none }
steps:
  - flat-field: { board: board.tif }
  - colour: { chart: other.tif, fit: matrix }
`)
    expect(warnings.join()).toMatch(/other\.tif: its 480 x 300 pixels show another frame than the 480 x 360/)
  })
})
