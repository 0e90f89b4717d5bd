import { createHash } from 'node:crypto'
import { copyFile, mkdir, readdir, readFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { blankBoard } from '../../demo-data/blankBoard.js'
import { capture } from '../../demo-data/capture.js'
import { chartCapture } from '../../demo-data/chartCapture.js'
import { cutUp } from '../../demo-data/cutUp.js'
import type { CaptureRequest, Painting } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { writePicture } from '../../src/files/writePicture.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { RunRecord } from '../../src/runRecord.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const PIPELINES = join(import.meta.dirname, '../../pipelines')
/** Prints at full resolution would be large files of a tiny picture. */
const PPI = 60

const LIGHT: Omit<CaptureRequest, 'device'> = {
  ...{ lampFromDeg: 0, lampHeightDeg: 42, reliefDepth: 1, falloff: 0.12, noise: 0.003, blurPx: 0.6 },
  ...{ turned: 0 as const, seed: 5 },
}

let painting: Painting
beforeAll(() => {
  painting = paint({ seed: 7, width: 840, height: 580, ppi: 150, sheet: 'tooth' })
})

/** The captures each ready-made pipeline asks for, painted. */
const CAPTURES: Record<string, () => Record<string, Raster>> = {
  'flatbed-single': () => ({ 'scan.tif': capture(painting, { ...LIGHT, device: 'scanner' }).raster }),
  'flatbed-tiles': () => tiles('tile', { ...LIGHT, device: 'scanner', falloff: 0 }),
  'camera-frames': () => {
    const frames = tiles('frame', { ...LIGHT, device: 'camera' })
    const { width, height } = frames['frame-1.tif']
    const request = { ...LIGHT, device: 'camera' as const, width, height }
    return { ...frames, 'board.tif': blankBoard(request), 'chart.tif': chartCapture(request).raster }
  },
  'cards-only': finished,
  'prints-only': finished,
}

function tiles(name: string, request: CaptureRequest): Record<string, Raster> {
  const cut = cutUp(painting, {
    ...request,
    ...{ columns: 2, rows: 1, overlap: 0.3, rotationDeg: 0.2, jitterPx: 3, gainSpread: 0.01 },
  })
  return Object.fromEntries(cut.map(({ raster }, i) => [`${name}-${i + 1}.tif`, raster]))
}

function finished(): Record<string, Raster> {
  return { 'master.tif': capture(painting, { ...LIGHT, device: 'truth', reliefDepth: 0, falloff: 0 }).raster }
}

describe('a ready-made pipeline', () => {
  it('is run here, whichever there is', async () => {
    const files = (await readdir(PIPELINES)).filter((name) => name.endsWith('.yaml'))
    expect(files.map((name) => basename(name, '.yaml')).sort()).toEqual(Object.keys(CAPTURES).sort())
  })

  it.each(Object.keys(CAPTURES))('%s runs as it is, from captures to the report', async (name) => {
    const folder = await temporaryFolder()
    await mkdir(join(folder, 'captures'))
    for (const [file, raster] of Object.entries(CAPTURES[name]())) {
      await writePicture(join(folder, 'captures', file), raster, {
        ...{ format: 'tif', depth: 16, ppi: 150, profile: profileBytes('sRGB') },
      })
    }
    const file = join(folder, 'pipeline.yaml')
    await copyFile(join(PIPELINES, `${name}.yaml`), file)
    const named = (await loadPipeline(file)).outputs.map((output) => output.name)
    const pipeline = await loadPipeline(file, { set: named.map((output) => `outputs.${output}.ppi=${PPI}`) })
    const out = join(folder, 'out')
    await runPipeline(pipeline, {
      ...{ outFolder: out, overwrite: false, signal: new AbortController().signal, onEvent: () => {} },
    })

    const record: RunRecord = JSON.parse(await readFile(join(out, 'run.json'), 'utf8'))
    expect(record.outputs.map((output) => output.name)).toEqual(['master.tif', ...named])
    for (const { path, sha256, widthMm, heightMm } of record.outputs) {
      const bytes = await readFile(join(out, path))
      expect(sha256).toBe(createHash('sha256').update(bytes).digest('hex'))
      expect(Math.min(widthMm!, heightMm!)).toBeGreaterThan(20)
    }
    expect(Object.keys(record.readings)).toEqual(pipeline.steps.map((step) => step.name))
    expect(record.warnings.filter(({ step }) => step === 'captures')).toEqual([])
    expect(await readFile(join(out, 'report/index.html'), 'utf8')).toMatch(/<h1>Untitled<\/h1>/)
    expect(await readFile(join(out, 'ticket.md'), 'utf8')).toMatch(/^# Job ticket/)
    expect(JSON.stringify(record)).not.toContain(folder)
  })
})
