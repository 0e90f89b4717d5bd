import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PDFDocument } from 'pdf-lib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { profileBytes } from '../../../src/colour/profiles/profileBytes.js'
import { writePdf } from '../../../src/files/writePdf.js'
import { card } from '../../../src/outputs/card/card.js'
import { cardParams } from '../../../src/outputs/card/params.js'
import { drawn } from '../../raster/resample/drawn.js'
import { keepingContext, masterInfo } from '../derived.js'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'card-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const points = (mm: number) => (mm / 25.4) * 72

async function made(written: object) {
  const source = drawn(300, 400, (x, y) => (x + y) / 700)
  const { context, documents } = keepingContext(source, masterInfo(300, 400, { ppi: 60 }))
  await card.render(cardParams.parse({ ppi: 60, sharpening: 'none', ...written }), context)
  const path = join(folder, 'card.pdf')
  await writePdf(path, documents[0].document, { profiles: profileBytes })
  return PDFDocument.load(await readFile(path))
}

describe('a card as PDF', () => {
  it('is the sheet, with trim and bleed of the one card on it', async () => {
    const pdf = await made({ back: 'Harbour at low tide', inside: { line: 'With love' } })
    expect(pdf.getPageCount()).toBe(2)
    // A4 lies across; the flat of 210 x 148 mm in its middle, 43.5 and 31 mm from the edges; 3 mm of bleed.
    for (const page of pdf.getPages()) {
      expect(page.getMediaBox().width).toBeCloseTo(points(297), 3)
      expect(page.getMediaBox().height).toBeCloseTo(points(210), 3)
      const boxes = [
        [page.getTrimBox(), [43.5, 31, 210, 148]],
        [page.getBleedBox(), [40.5, 28, 216, 154]],
      ] as const
      for (const [box, mm] of boxes) {
        const found = [box.x, box.y, box.width, box.height]
        found.forEach((value, i) => {
          expect(value).toBeCloseTo(points(mm[i]), 3)
        })
      }
    }
  })

  it('is the sheet alone where several cards lie on it', async () => {
    const pdf = await made({ sheet: 'A3' })
    expect(pdf.getPageCount()).toBe(1)
    const page = pdf.getPage(0)
    expect(page.getMediaBox().width).toBeCloseTo(points(297), 3)
    expect(page.getTrimBox()).toEqual(page.getMediaBox())
  })
})
