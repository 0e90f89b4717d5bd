import { execFileSync } from 'node:child_process'
import { readdir, readFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { inflateSync } from 'node:zlib'
import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs'
import sharp from 'sharp'
import { beforeAll, describe, expect, it } from 'vitest'
import { Interrupted, RequestError } from '../../src/errors.js'
import { writePdf } from '../../src/files/writePdf.js'
import type { PdfDocument, PdfItem } from '../../src/outputs/PdfDocument.js'
import { emptyRaster, type Raster } from '../../src/raster/Raster.js'
import { failure, scratchFolder, values } from './scratch.js'

const at = scratchFolder()
const FONTS = fileURLToPath(new URL('../../node_modules/pdfjs-dist/standard_fonts/', import.meta.url))

/** Four flat quarters: red, green, blue, white from the top left, row by row. */
function quarters(side: number): Raster {
  const raster = emptyRaster(side, side)
  const colours = [
    [65535, 0, 0],
    [0, 65535, 0],
    [0, 0, 65535],
    [65535, 65535, 65535],
  ]
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      raster.data.set(colours[Number(y >= side / 2) * 2 + Number(x >= side / 2)], (y * side + x) * 3)
    }
  }
  return raster
}

const noisy = emptyRaster(37, 23)
noisy.data.set(values(noisy.data.length, 65535))
const profiles: Record<string, Uint8Array> = {}
beforeAll(async () => {
  const grey = sharp(Uint8Array.of(9, 9, 9), { raw: { width: 1, height: 1, channels: 3 } })
  for (const [space, name] of [
    ['sRGB', 'srgb'],
    ['Display P3', 'p3'],
  ]) {
    const tagged = await grey.clone().withIccProfile(name).png().toBuffer()
    profiles[space] = new Uint8Array((await sharp(tagged).metadata()).icc!)
  }
})
const options = { profiles: (space: string) => profiles[space] }
const a4 = (items: PdfItem[]): PdfDocument => ({
  title: 'Harbour at low tide',
  creator: 'Zoë',
  pages: [{ widthMm: 210, heightMm: 297, items }],
})

async function opened(name: string, document: PdfDocument) {
  await writePdf(at(name), document, options)
  const data = new Uint8Array(await readFile(at(name)))
  return getDocument({ data, standardFontDataUrl: FONTS, verbosity: 0, useSystemFonts: false }).promise
}

/** The streams of a PDF whose objects stand in the clear, each with its dictionary. */
async function streams(name: string): Promise<{ dictionary: string; data: Buffer }[]> {
  const file = await readFile(at(name))
  const text = file.toString('latin1')
  return [...text.matchAll(/<<(.*?)>>\s*stream\r?\n/gs)].map((match) => {
    const start = match.index + match[0].length
    return { dictionary: match[1], data: file.subarray(start, text.indexOf('endstream', start)) }
  })
}

describe('pages', () => {
  it('have their size and boxes in points, from the top left corner', async () => {
    const pdf = await opened('boxes.pdf', {
      title: 'Cards',
      creator: 'Zoë',
      pages: [
        {
          widthMm: 154,
          heightMm: 111,
          trim: { x: 3, y: 3, width: 148, height: 105 },
          bleed: { x: 0, y: 0, width: 154, height: 111 },
          items: [],
        },
        { widthMm: 210, heightMm: 297, items: [] },
      ],
    })
    expect(pdf.numPages).toBe(2)
    // ISO 216: A4 is 210 x 297 mm; a point is 1/72 inch, an inch 25.4 mm
    const { view } = await pdf.getPage(2)
    expect(view[2]).toBeCloseTo((210 / 25.4) * 72, 6)
    expect(view[3]).toBeCloseTo((297 / 25.4) * 72, 6)
    const text = (await readFile(at('boxes.pdf'))).toString('latin1')
    const box = (name: string) =>
      /\[([^\]]+)\]/
        .exec(text.slice(text.indexOf(`/${name}`)))![1]
        .trim()
        .split(/\s+/)
        .map((n) => (Number(n) / 72) * 25.4)
    const near = (found: number[], expected: number[]) =>
      found.forEach((value, i) => {
        expect(value).toBeCloseTo(expected[i], 6)
      })
    near(box('TrimBox'), [3, 3, 151, 108])
    near(box('BleedBox'), [0, 0, 154, 111])
    expect(text.match(/\/TrimBox/g)).toHaveLength(1)
  })

  it('belong to a document with title and creator, without dates, to be printed at its size', async () => {
    const pdf = await opened('about.pdf', a4([]))
    const { info } = (await pdf.getMetadata()) as unknown as { info: Record<string, unknown> }
    expect(info).toMatchObject({ Title: 'Harbour at low tide', Author: 'Zoë', Creator: 'finetooth' })
    expect(info.CreationDate).toBeUndefined()
    expect((await pdf.getViewerPreferences()) as { PrintScaling?: string }).toMatchObject({
      PrintScaling: 'None',
    })
  })

  it('give the same bytes for the same document', async () => {
    const document = a4([
      { kind: 'picture', raster: noisy, space: 'sRGB', box: { x: 10, y: 10, width: 50, height: 30 } },
      { kind: 'text', text: 'Ωδός Łódź', at: [100, 100], sizePt: 9 },
    ])
    await writePdf(at('1.pdf'), document, options)
    await writePdf(at('2.pdf'), document, options)
    expect(await readFile(at('1.pdf'))).toEqual(await readFile(at('2.pdf')))
  })
})

describe('pictures', () => {
  it('are lossless, 8 bits, with the profile of their space; one used twice is stored once', async () => {
    const place = (x: number, space: 'sRGB' | 'Display P3') =>
      ({ kind: 'picture', raster: noisy, space, box: { x, y: 10, width: 40, height: 30 } }) as const
    await writePdf(at('p.pdf'), a4([place(10, 'sRGB'), place(60, 'sRGB'), place(110, 'Display P3')]), options)
    const all = await streams('p.pdf')
    const images = all.filter(({ dictionary }) => /\/Subtype \/Image/.test(dictionary))
    expect(images).toHaveLength(2)
    for (const { dictionary, data } of images) {
      expect(dictionary).toMatch(/\/BitsPerComponent 8/)
      // undo the PNG predictor by its definition (ISO/IEC 15948:2004, 9.2)
      const rows = inflateSync(data)
      const bytes = noisy.width * 3
      const values = new Uint8Array(bytes * noisy.height)
      for (let y = 0; y < noisy.height; y++) {
        expect(rows[y * (bytes + 1)]).toBe(3)
        for (let i = 0; i < bytes; i++) {
          const before = i >= 3 ? values[y * bytes + i - 3] : 0
          const above = y > 0 ? values[(y - 1) * bytes + i] : 0
          values[y * bytes + i] = rows[y * (bytes + 1) + 1 + i] + Math.floor((before + above) / 2)
        }
      }
      expect([...values]).toEqual(Array.from(noisy.data, (v) => Math.round(v / 257)))
    }
    const icc = all.filter(({ dictionary }) => /\/N 3/.test(dictionary)).map(({ data }) => inflateSync(data))
    expect(icc).toHaveLength(2)
    expect(icc).toEqual(expect.arrayContaining(Object.values(profiles).map((bytes) => Buffer.from(bytes))))
  })

  it('stand where they were put, turned clockwise, in the words of another reader', async () => {
    const box = { x: 20, y: 30, width: 60, height: 40 }
    // where the picture's top left corner is seen, in mm from the page's top left
    const corners = { 0: [20, 30], 90: [80, 30], 180: [80, 70], 270: [20, 70] }
    for (const turned of [0, 90, 180, 270] as const) {
      const pdf = await opened(
        'turned.pdf',
        a4([{ kind: 'picture', raster: noisy, space: 'sRGB', box, turned }]),
      )
      const { fnArray, argsArray } = await (await pdf.getPage(1)).getOperatorList()
      expect(fnArray).toContain(OPS.paintImageXObject)
      const [a, b, c, d, e, f] = argsArray[fnArray.indexOf(OPS.transform)] as number[]
      const toMm = (u: number, v: number) => [
        ((a * u + c * v + e) / 72) * 25.4,
        297 - ((b * u + d * v + f) / 72) * 25.4,
      ]
      const near = (found: number[], expected: number[]) =>
        found.forEach((value, i) => {
          expect(value).toBeCloseTo(expected[i], 3)
        })
      near(toMm(0, 1), corners[turned]) // PDF pictures have their top at 1
      near(toMm(1, 0), corners[((turned + 180) % 360) as 0])
      near(toMm(1, 1), corners[((turned + 90) % 360) as 0])
    }
  })

  it('of millions of pixels pack in bands as in one piece', async () => {
    const large = emptyRaster(2500, 1200)
    for (let i = 0; i < large.data.length; i++) large.data[i] = (i % 7500) * 8 + (i >> 14)
    const box = { x: 0, y: 0, width: 210, height: 100 }
    await writePdf(at('large.pdf'), a4([{ kind: 'picture', raster: large, space: 'sRGB', box }]), options)
    const image = (await streams('large.pdf')).find(({ dictionary }) => /\/Image/.test(dictionary))!
    const rows = inflateSync(image.data)
    expect(rows.length).toBe(1200 * 7501)
    const stored = (i: number) => (i < 0 ? 0 : Math.round(large.data[i] / 257))
    const column = 4321
    for (let y = 0; y < 1200; y++) {
      const at = y * 7500 + column
      const guess = (stored(at - 3) + stored(at - 7500)) >> 1
      expect((guess + rows[y * 7501 + 1 + column]) & 255).toBe(stored(at))
    }
  })
})

describe('a signal', () => {
  it('stops it before a file is made', async () => {
    const before = await readdir(at())
    const items: PdfItem[] = [
      { kind: 'picture', raster: noisy, space: 'sRGB', box: { x: 10, y: 10, width: 50, height: 30 } },
    ]
    const error = await failure(
      writePdf(at('no.pdf'), a4(items), { ...options, signal: AbortSignal.abort() }),
    )
    expect(error).toBeInstanceOf(Interrupted)
    expect(await readdir(at())).toEqual(before)
  })
})

describe('text', () => {
  it('is found by another reader, centred on its place, in every script the typeface has', async () => {
    const texts = ['Harbour at low tide', 'Łódź – ½ sheet', 'Ωδός', 'Журнал', 'Tiếng Việt']
    const pdf = await opened(
      'text.pdf',
      a4(texts.map((text, i) => ({ kind: 'text', text, at: [105, 20 + i * 10], sizePt: 12 }) as const)),
    )
    const { items } = await (await pdf.getPage(1)).getTextContent()
    const lines = new Map<number, { text: string; left: number; right: number }>()
    for (const item of items as { str: string; width: number; transform: number[] }[]) {
      if (item.str.trim() === '' && item.width === 0) continue
      const y = Math.round(297 - (item.transform[5] / 72) * 25.4)
      const line = lines.get(y) ?? { text: '', left: item.transform[4], right: 0 }
      lines.set(y, { ...line, text: line.text + item.str, right: item.transform[4] + item.width })
    }
    texts.forEach((text, i) => {
      const line = lines.get(20 + i * 10)!
      expect(line.text).toBe(text)
      expect((line.left + line.right) / 2).toBeCloseTo((105 / 25.4) * 72, 0)
      expect(line.right - line.left).toBeGreaterThan(text.length * 3)
    })
  })

  it('is refused, naming them, with characters the typeface does not have', async () => {
    const before = await readdir(at())
    const error = await failure(
      writePdf(
        at('bad.pdf'),
        a4([{ kind: 'text', text: 'Low tide 干潮', at: [10, 10], sizePt: 9 }]),
        options,
      ),
    )
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toContain('干 (U+5E72), 潮 (U+6F6E)')
    expect(await readdir(at())).toEqual(before)
  })
})

describe('the page as rendered', () => {
  it('shows each quarter of a turned picture, the lines and the dashes where they belong', async ({
    skip,
  }) => {
    try {
      execFileSync('pdftoppm', ['-v'], { stdio: 'ignore' })
    } catch {
      skip('pdftoppm (poppler-utils) is not installed: the page is not rendered')
    }
    const raster = quarters(40)
    const items: PdfItem[] = ([0, 90, 180, 270] as const).map((turned, i) => ({
      kind: 'picture',
      raster,
      space: 'sRGB',
      box: { x: 10 + i * 45, y: 10, width: 40, height: 40 },
      turned,
    }))
    items.push({ kind: 'line', from: [10, 100], to: [200, 100], widthMm: 2 })
    items.push({ kind: 'line', from: [10, 120], to: [200, 120], widthMm: 2, dashMm: [10, 5] })
    await writePdf(at('seen.pdf'), a4(items), options)
    execFileSync('pdftoppm', ['-r', '50.8', '-png', '-singlefile', at('seen.pdf'), at('seen')]) // 2 px a mm
    const { data, info } = await sharp(at('seen.png'))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true })
    const colour = (xMm: number, yMm: number) => {
      const p = (Math.round(yMm * 2) * info.width + Math.round(xMm * 2)) * 3
      return [0, 1, 2].map((c) => (data[p + c] > 127 ? 1 : 0)).join('')
    }
    // clockwise from the top left as it was drawn: red, green, white, blue
    const clockwise = ['100', '010', '111', '001']
    items.slice(0, 4).forEach((_, turn) => {
      const x = 10 + turn * 45
      const seen = [colour(x + 10, 20), colour(x + 30, 20), colour(x + 30, 40), colour(x + 10, 40)]
      expect(seen).toEqual(clockwise.map((_, i) => clockwise[(i + 4 - turn) % 4]))
    })
    expect([colour(15, 100), colour(22.5, 100), colour(15, 97)]).toEqual(['000', '000', '111'])
    expect([colour(15, 120), colour(22.5, 120), colour(30, 120)]).toEqual(['000', '111', '000'])
  })
})
