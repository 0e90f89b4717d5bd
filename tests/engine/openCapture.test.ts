import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../src/colour/captureSource.js'
import { openCapture, type WhiteBalance } from '../../src/engine/openCapture.js'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { decodeRaw } from '../../src/files/raw/decodeRaw.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import { handBuiltDng } from '../files/raw/handBuiltDng.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

const [WIDTH, HEIGHT] = [160, 120]

/** A sheet with a painted patch in its middle, as a camera sees it. */
function samples(): number[] {
  const out: number[] = []
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const painted = Math.abs(x - 80) < 40 && Math.abs(y - 60) < 30
      out.push((painted ? [6000, 14000, 30000] : [22000, 46000, 36000])[(y & 1) + (x & 1)])
    }
  }
  return out
}

async function frame(folder: string, name: string, neutral: [number, number]): Promise<string> {
  const path = join(folder, name)
  await writeFile(
    path,
    handBuiltDng({ width: WIDTH, height: HEIGHT, samples: samples(), white: 60000, neutral }),
  )
  return path
}

/** Answers as a worker does, in this thread. */
const pool = {
  signal: new AbortController().signal,
  run: (_task: string, ask: { path: string; whiteBalance: WhiteBalance }) =>
    decodeRaw(ask.path, ask.whiteBalance),
} as never

describe('a camera raw capture', () => {
  it('looks the same as another of the same light, though the camera balanced the two differently', async () => {
    const folder = await temporaryFolder()
    const first = await openCapture(await frame(folder, 'a.dng', [0.5, 0.8]), 'a.dng', undefined, pool)
    const path = await frame(folder, 'b.dng', [0.6, 0.7])
    const alike = await openCapture(path, 'b.dng', undefined, pool, first.whiteBalance)
    expect(alike.raster.data).toEqual(first.raster.data)
    const [light, own] = [alike, await openCapture(path, 'b.dng', undefined, pool)].map(
      ({ raster, transform }) =>
        captureSource(raster, transform).region({ x: 5, y: 5, width: 1, height: 1 }).planes[0][0],
    )
    expect(own).not.toBeCloseTo(light, 2)
    expect(first.notes.join()).toContain('white balance as shot is red x 2.000, blue x 1.250')
    expect(alike.notes.join()).toContain('balanced by that of the first capture')
    expect(first.tagged).toBe(true)
  })

  it('goes through a whole run, developed in a worker', async () => {
    const folder = await temporaryFolder()
    await frame(folder, 'a.dng', [0.5, 0.8])
    await writeFile(
      join(folder, 'job.yaml'),
      'pipeline: 1\ncaptures: { kind: camera, files: [a.dng], ppi: 100 }\nsteps: []\noutputs: []\nreport: false\n',
    )
    const notes: string[] = []
    const record = await runPipeline(await loadPipeline(join(folder, 'job.yaml'), {}), {
      ...{ outFolder: join(folder, 'out'), overwrite: false, signal: new AbortController().signal },
      onEvent: (event) => notes.push(JSON.stringify(event)),
    })
    expect(record.inputs[0]).toMatchObject({
      ...{ path: 'a.dng', width: WIDTH, height: HEIGHT },
      profile: 'linear numbers of Stand Forty',
      conditions: { device: 'Stand Forty', whiteBalance: { red: 2, blue: expect.closeTo(1.25, 6) } },
    })
    expect(notes.join()).toContain('white balance as shot')
    expect(record.warnings).toEqual([])
  })
})
