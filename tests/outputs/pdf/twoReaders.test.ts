import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { profileBytes } from '../../../src/colour/profiles/profileBytes.js'
import { writePdf } from '../../../src/files/writePdf.js'
import { card } from '../../../src/outputs/card/card.js'
import { cardParams } from '../../../src/outputs/card/params.js'
import { stripPages } from '../../../src/outputs/strip/stripPages.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { drawn } from '../../raster/resample/drawn.js'
import { keepingContext, masterInfo } from '../derived.js'
import { picturesOf } from './picturesOf.js'

/** One reader is from Debian (poppler-utils), the other from npm (pdfjs-dist). */
const run = promisify(execFile)
const poppler = await run('pdfinfo', ['-v']).then(
  () => true,
  () => false,
)
if (!poppler) console.warn('poppler-utils is not installed: PDFs are read by pdfjs-dist alone')

let folder: string
let cardPath: string
let stripPath: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'finetooth-pdf-'))
  const source = drawn(840, 600, (x, y, c) => 0.1 + (0.6 * x) / 840 + (0.2 * y) / 600 + 0.03 * c)
  const { context, documents } = keepingContext(source, masterInfo(840, 600, { ppi: 120 }))
  const written = {
    ppi: 120,
    back: 'Ebbe im Hafen\nΆμπωτη',
    inside: { line: 'Alles Gute' },
    sharpening: 'none',
  }
  await card.render(cardParams.parse(written), context)
  cardPath = join(folder, 'card.pdf')
  await writePdf(cardPath, documents[0].document, { profiles: profileBytes })

  const grey = emptyRaster(300, 200)
  grey.data.fill(0x8080)
  const content = {
    ...{ title: 'Boats: paper texture', lead: ['How much.'], columns: ['Paper', 'Wash', 'Detail'] },
    rows: ['0', '1'].map((label) => ({ label, notes: [], line: `- paper-texture: { strength: ${label} }` })),
  }
  stripPath = join(folder, 'strip.pdf')
  const crops = [0, 1].map(() => [grey, grey, grey])
  const pages = stripPages(content, crops, { ppi: 300, space: 'opRGB', rowsAPage: 2, creator: 'A' })
  await writePdf(stripPath, pages, { profiles: profileBytes })
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const points = (mm: number) => (mm / 25.4) * 72
const wordsOf = async (path: string) => {
  const task = getDocument({ data: new Uint8Array(await readFile(path)), verbosity: 0 })
  const document = await task.promise
  const pages = await Promise.all(
    Array.from({ length: document.numPages }, async (_, i) => {
      const { items } = await (await document.getPage(i + 1)).getTextContent()
      return items.map((item) => ('str' in item ? item.str : '')).join(' ')
    }),
  )
  await task.destroy()
  return pages
}

describe('a card sheet, read by pdfjs-dist', () => {
  it('has its picture where the layout says, at its pixels', async () => {
    const [picture, ...others] = await picturesOf(cardPath)
    expect(others).toEqual([])
    // A6 across: 148 x 105 mm with 3 mm of bleed on three sides, on an upright A4: the flat of 148 x 210 mm in its middle.
    expect(picture.xMm).toBeCloseTo((210 - 148) / 2 - 3, 2)
    expect(picture.yMm).toBeCloseTo(297 / 2, 2)
    expect(picture.widthMm).toBeCloseTo(154, 2)
    expect(picture.heightMm).toBeCloseTo(108, 2)
    expect([picture.width, picture.height]).toEqual([
      Math.round((154 / 25.4) * 120),
      Math.round((108 / 25.4) * 120),
    ])
  })

  it('has its words as text that can be searched and copied', async () => {
    const [outside, inside] = await wordsOf(cardPath)
    for (const words of ['Ebbe im Hafen', 'Άμπωτη', 'outside; print at 100 %'])
      expect(outside).toContain(words)
    expect(inside).toContain('Alles Gute')
    expect((await wordsOf(stripPath))[0]).toContain('- paper-texture: { strength: 1 }')
  })
})

describe.runIf(poppler)('PDFs, read by poppler', () => {
  it('have the boxes of a print shop', async () => {
    const { stdout, stderr } = await run('pdfinfo', ['-box', cardPath])
    expect(stderr).toBe('')
    const box = (name: string) =>
      new RegExp(`${name}: +([\\d.]+) +([\\d.]+) +([\\d.]+) +([\\d.]+)`).exec(stdout)!
    const expected = {
      MediaBox: [0, 0, points(210), points(297)],
      TrimBox: [points(31), points(43.5), points(179), points(253.5)],
      BleedBox: [points(28), points(40.5), points(182), points(256.5)],
    }
    for (const [name, numbers] of Object.entries(expected)) {
      box(name)
        .slice(1, 5)
        .forEach((value, i) => {
          // Printed with two decimals: 0.0018 mm.
          expect(Math.abs(Number(value) - numbers[i])).toBeLessThan(0.0051)
        })
    }
    expect(stdout).toMatch(/Pages: +2/)
  })

  it('have every font embedded, cut down to what is used', async () => {
    for (const path of [cardPath, stripPath]) {
      const { stdout } = await run('pdffonts', [path])
      const fonts = stdout.trim().split('\n').slice(2)
      expect(fonts.length).toBeGreaterThan(0)
      for (const font of fonts) expect(font).toMatch(/ yes +yes +yes +\d+ +\d+$/)
    }
  })

  it('have pictures of 8 bits with a profile, lossless', async () => {
    const { stdout } = await run('pdfimages', ['-list', cardPath])
    const pictures = stdout.trim().split('\n').slice(2)
    expect(pictures).toHaveLength(1)
    expect(pictures[0]).toMatch(/ image +728 +510 +icc +3 +8 +image /)
  })

  it('have pictures packed as JPEG where a quality is asked, drawn without a complaint', async () => {
    const source = drawn(420, 300, (x, y, c) => 0.1 + (0.6 * x) / 420 + (0.2 * y) / 300 + 0.03 * c)
    const { context, documents } = keepingContext(source, masterInfo(420, 300, { ppi: 60 }))
    await card.render(cardParams.parse({ ppi: 120, quality: 90, sharpening: 'none' }), context)
    const packed = join(folder, 'packed.pdf')
    await writePdf(packed, documents[0].document, { profiles: profileBytes })
    const { stdout } = await run('pdfimages', ['-list', packed])
    expect(stdout.trim().split('\n').slice(2)).toEqual([
      expect.stringMatching(/ image +728 +510 +icc +3 +8 +jpeg /),
    ])
    const { stderr } = await run('pdftoppm', ['-r', '60', '-png', '-singlefile', packed, packed])
    expect(stderr).toBe('')
    const [picture] = await picturesOf(packed)
    const whole = documents[0].document.pages[0].items[0] as { raster: { data: Uint16Array } }
    const off = picture.pixels.map((v, i) => Math.abs(v - Math.round(whole.raster.data[i] / 257)))
    expect(off.reduce((a, b) => a + b, 0) / off.length).toBeLessThan(1.5)
  })

  it('are drawn without a complaint, as the layout says', async () => {
    const ppi = 100
    for (const path of [cardPath, stripPath]) {
      const { stderr } = await run('pdftoppm', [
        '-r',
        `${ppi}`,
        '-png',
        '-f',
        '1',
        '-l',
        '1',
        '-singlefile',
        path,
        path,
      ])
      expect(stderr).toBe('')
    }
    const { data, info } = await sharp(`${cardPath}.png`)
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true })
    const px = (mm: number) => Math.round((mm / 25.4) * ppi)
    expect([info.width, info.height]).toEqual([827, 1170])
    const dark = (xMm: number, yMm: number) => {
      let least = 255
      for (const dx of [-1, 0, 1]) {
        for (const dy of [-1, 0, 1])
          least = Math.min(least, data[((px(yMm) + dy) * info.width + px(xMm) + dx) * 3])
      }
      return least
    }
    // Trim marks begin 3 mm outside the trim and are 3 mm long; the bleed itself is free of them.
    expect(dark(31, 43.5 - 4.5)).toBeLessThan(160)
    expect(dark(31 - 4.5, 43.5)).toBeLessThan(160)
    expect(dark(31, 43.5 - 1.5)).toBe(255)
    // The picture covers its bleed and stops there; the upper panel, the back, is white.
    expect(dark(29, 200)).toBeLessThan(200)
    expect(dark(26.5, 200)).toBe(255)
    expect(dark(105, 100)).toBe(255)
    // A strip's first crop: grey from the end of the labels on.
    const strip = await sharp(`${stripPath}.png`).removeAlpha().raw().toBuffer({ resolveWithObject: true })
    const at = (xMm: number, yMm: number) => strip.data[(px(yMm) * strip.info.width + px(xMm)) * 3]
    expect(at(45, 38)).toBeGreaterThan(100)
    expect(at(45, 38)).toBeLessThan(160)
  })
})

describe('a PDF', () => {
  it('has the same bytes when written again', async () => {
    const again = join(folder, 'again.pdf')
    const grey = emptyRaster(30, 20)
    const content = { title: 'A', lead: [], columns: ['x'], rows: [{ label: '0', notes: [], line: '-' }] }
    const pages = stripPages(content, [[grey]], { ppi: 300, space: 'sRGB', rowsAPage: 1, creator: '' })
    await writePdf(again, pages, { profiles: profileBytes })
    const first = await readFile(again)
    await writeFile(again, '')
    await writePdf(again, pages, { profiles: profileBytes })
    expect(first.equals(await readFile(again))).toBe(true)
  })
})
