import { access, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { runStrip, type Strip } from '../../src/engine/runStrip.js'
import type { StripSubject } from '../../src/engine/strip/StripSubject.js'
import { sharpeningStrip } from '../../src/engine/strip/sharpeningStrip.js'
import { hueStrip, textureStrip } from '../../src/engine/strip/stepStrip.js'
import { Interrupted } from '../../src/errors.js'
import { layoutStrip } from '../../src/outputs/strip/layoutStrip.js'
import { screenCrop, screenMeasures } from '../../src/outputs/strip/stripPicture.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import type { Pipeline } from '../../src/pipeline/Pipeline.js'
import { testCapture } from '../helpers/testCapture.js'

const TEXT = `pipeline: 1
title: Small wash
captures: { kind: flatbed, files: [capture.tif] }
steps:
  - paper-texture
  - hue: [ { around: blue, width: 60, shift: -4, chroma: 90% } ]
master: { space: sRGB }
outputs:
  - print: { name: small, image: { width: 70mm }, ppi: 300, viewing: 400mm, format: png, sharpening: { target: 1 } }
  - card: { name: card, format: a6-folded, sheet: A4, ppi: 150 }
report: false
`
const HUE_ONLY = TEXT.replace('  - paper-texture\n', '')

let folder: string
let pipeline: Pipeline
const signal = new AbortController().signal
const options = { threads: 1, signal, onEvent: () => {} }

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'finetooth-strip-'))
  await testCapture(folder, 'capture.tif', 1500, 1100)
  await writeFile(join(folder, 'job.yaml'), TEXT)
  pipeline = await loadPipeline(join(folder, 'job.yaml'), {})
  afterAll(() => rm(folder, { recursive: true, force: true }))
})

interface Bytes {
  width: number
  height: number
  data: Uint8Array
}

async function eightBits(path: string): Promise<Bytes> {
  const depth = (await sharp(path).metadata()).depth
  const picture = sharp(path, { ignoreIcc: true })
  if (depth === 'uchar') {
    const { data, info } = await picture.raw().toBuffer({ resolveWithObject: true })
    return { width: info.width, height: info.height, data: new Uint8Array(data) }
  }
  const { data, info } = await picture
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true })
  const samples = new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
  return {
    width: info.width,
    height: info.height,
    data: Uint8Array.from(samples, (v) => Math.round(v / 257)),
  }
}

const cut = (picture: Bytes, x: number, y: number, width: number, height: number) =>
  Array.from({ length: height }, (_, j) => {
    const from = ((y + j) * picture.width + x) * 3
    return picture.data.slice(from, from + width * 3)
  })

/** The pixels that a strip shows in a row and column, and those of a whole picture at the same place. */
function crop(strip: Strip, sheet: Bytes, row: number, column: number) {
  const shown = screenCrop(strip.rects[column])
  const page = layoutStrip(strip.content, screenMeasures(shown), 0, strip.content.rows.length)
  const { x, y } = page.crops.find((one) => one.row === row && one.column === column)!
  const of = strip.rects[column]
  return {
    here: cut(sheet, Math.round(x), Math.round(y), shown.width, shown.height),
    of: (whole: Bytes) => cut(whole, of.x + shown.x, of.y + shown.y, shown.width, shown.height),
  }
}

async function made(subject: StripSubject) {
  const png = join(folder, `${subject.name}.png`)
  const strip = await runStrip(pipeline, subject, { ...options, png, pdf: png.replace('png', 'pdf') })
  return { strip, sheet: await eightBits(png) }
}

async function run(text: string, name: string): Promise<string> {
  await writeFile(join(folder, `${name}.yaml`), text)
  const out = join(folder, name)
  await runPipeline(await loadPipeline(join(folder, `${name}.yaml`), {}), {
    ...options,
    ...{ outFolder: out, overwrite: false },
  })
  return out
}

describe('a strip', () => {
  it('of texture begins with the picture untouched and ends with the master itself', async () => {
    const { strip, sheet } = await made(textureStrip(pipeline, {}))
    const master = await eightBits(join(await run(TEXT, 'whole'), 'master.tif'))
    const untouched = await eightBits(join(await run(HUE_ONLY, 'untouched'), 'master.tif'))
    expect(strip.content.rows.map(({ label }) => label)).toEqual(['0', '0.25', '0.5', '0.75', '1'])
    expect(strip.content.rows[4].notes).toEqual(['in the pipeline now'])
    expect(strip.content.columns.length).toBeGreaterThan(1)
    strip.content.columns.forEach((_, column) => {
      const first = crop(strip, sheet, 0, column)
      const last = crop(strip, sheet, 4, column)
      expect(first.here).toEqual(first.of(untouched))
      expect(last.here).toEqual(last.of(master))
      expect(first.here).not.toEqual(last.here)
    })
    await access(join(folder, 'texture.pdf'))
  }, 60_000)

  it("of sharpening has the output's own pixels in the row that the pipeline asks for", async () => {
    const { strip, sheet } = await made(sharpeningStrip(pipeline, undefined, {}))
    const print = await eightBits(join(folder, 'whole', 'prints', 'small.png'))
    const row = strip.content.rows.findIndex(({ notes }) => notes.includes('in the pipeline now'))
    expect(strip.content.rows[row].line).toBe('sharpening: { target: 1 }')
    strip.content.columns.forEach((_, column) => {
      const asked = crop(strip, sheet, row, column)
      expect(asked.here).toEqual(asked.of(print))
      expect(crop(strip, sheet, 0, column).here).not.toEqual(asked.here)
    })
  }, 60_000)

  it('of hue turns from row to row, and is the master where the pipeline stands', async () => {
    const { strip, sheet } = await made(hueStrip(pipeline, {}))
    const master = await eightBits(join(folder, 'whole', 'master.tif'))
    expect(strip.content.rows.map(({ label }) => label)).toEqual([
      ...['-12°', '-8°', '-4°', '0°', '+4°', '+8°', '+12°'],
    ])
    const now = crop(strip, sheet, 2, strip.content.columns.indexOf('Most of the hue'))
    expect(now.here).toEqual(now.of(master))
    expect(strip.content.rows[2].line).toBe(
      '- hue: [ { around: blue, width: 60, shift: -4, chroma: 90%, lightness: 0 } ]',
    )
    const column = strip.content.columns.indexOf('Most of the hue')
    const green = strip.content.rows.map((_, row) => {
      const { here } = crop(strip, sheet, row, column)
      return here.flatMap((line) => [...line.filter((_, i) => i % 3 === 1)]).reduce((a, b) => a + b, 0)
    })
    // From blue towards red (through violet) green goes down.
    expect([...green].sort((a, b) => b - a)).toEqual(green)
  }, 60_000)

  it('gives lines that the pipeline takes', async () => {
    const { content } = await runStrip(pipeline, hueStrip(pipeline, { steps: 2 }), options)
    const copied = TEXT.replace(/ {2}- hue.*\n/, `  ${content.rows.at(-1)!.line}\n`)
    await writeFile(join(folder, 'copied.yaml'), copied)
    const { steps } = await loadPipeline(join(folder, 'copied.yaml'), {})
    expect(steps[1].params).toMatchObject([{ shift: 12, chroma: 0.9 }])
  }, 60_000)

  it('stops when told to, and leaves nothing', async () => {
    const stop = new AbortController()
    const png = join(folder, 'stopped.png')
    const stopped = runStrip(pipeline, textureStrip(pipeline, {}), {
      ...{ png, threads: 1, signal: stop.signal },
      onEvent: (event) => {
        if (event.event === 'progress' && event.stage === 'strip') stop.abort()
      },
    })
    await expect(stopped).rejects.toThrow(Interrupted)
    await expect(access(png)).rejects.toThrow()
  }, 60_000)
})
