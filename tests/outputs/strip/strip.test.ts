import { describe, expect, it } from 'vitest'
import type { StripContent } from '../../../src/outputs/strip/StripContent.js'
import { pageCrop, stripPages } from '../../../src/outputs/strip/stripPages.js'
import { screenCrop, stripPicture } from '../../../src/outputs/strip/stripPicture.js'
import { stripValues } from '../../../src/outputs/strip/stripValues.js'
import { emptyRaster, type Raster } from '../../../src/raster/Raster.js'

const content = (rows: number, columns = 3): StripContent => ({
  title: 'Boats: paper texture',
  lead: ['How much is taken away.', 'Choose.'],
  columns: Array.from({ length: columns }, (_, i) => `place ${i}`),
  rows: Array.from({ length: rows }, (_, i) => ({ label: `${i}`, notes: ['now'], line: `- strength: ${i}` })),
})

function grey(width: number, height: number, value: number): Raster {
  const raster = emptyRaster(width, height)
  raster.data.fill(value)
  return raster
}

const crops = (rows: number, columns: number, width: number, height: number) =>
  Array.from({ length: rows }, (_, row) =>
    Array.from({ length: columns }, (_, column) => grey(width, height, 1000 * (row + 1) + 100 * column)),
  )

const overlap = (
  a: { x: number; y: number; width: number; height: number },
  b: { x: number; y: number; width: number; height: number },
) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height

describe("a strip's sheets", () => {
  it.each([
    [5, 600],
    [7, 300],
    [12, 300],
    [24, 150],
    [2, 1200],
  ])('hold %i rows at %i ppi at true size, clear of each other and inside A4', (rows, ppi) => {
    const { widthPx, heightPx, rowsAPage } = pageCrop(content(rows), ppi, { width: 1e5, height: 1e5 })
    const document = stripPages(content(rows), crops(rows, 3, widthPx, heightPx), {
      ...{ ppi, space: 'opRGB', rowsAPage, creator: '' },
    })
    expect(document.pages).toHaveLength(Math.ceil(rows / rowsAPage))
    const shown = document.pages.flatMap((page) => {
      // ISO 216: A4 is 210 x 297 mm.
      expect([page.widthMm, page.heightMm]).toEqual([210, 297])
      const boxes = page.items.flatMap((item) => (item.kind === 'picture' ? [item.box] : []))
      for (const [i, box] of boxes.entries()) {
        expect(box.width).toBeCloseTo((widthPx / ppi) * 25.4, 6)
        expect(box.height).toBeCloseTo((heightPx / ppi) * 25.4, 6)
        expect(box.x).toBeGreaterThanOrEqual(10)
        expect(box.x + box.width).toBeLessThanOrEqual(200.001)
        expect(box.y + box.height).toBeLessThanOrEqual(287.001)
        for (const other of boxes.slice(i + 1)) expect(overlap(box, other)).toBe(false)
      }
      return boxes
    })
    expect(shown).toHaveLength(rows * 3)
    expect((heightPx / ppi) * 25.4).toBeGreaterThan(20)
  })

  it('bear every value and every line to copy once', () => {
    const document = stripPages(content(12), crops(12, 3, 60, 60), {
      ...{ ppi: 300, space: 'sRGB', rowsAPage: 6, creator: 'A' },
    })
    const texts = document.pages.flatMap(({ items }) =>
      items.flatMap((i) => (i.kind === 'text' ? [i.text] : [])),
    )
    for (let i = 0; i < 12; i++) {
      expect(texts.filter((text) => text === `${i}`)).toHaveLength(1)
      expect(texts.filter((text) => text === `- strength: ${i}`)).toHaveLength(1)
    }
  })

  it('show no more than the picture has', () => {
    const { widthPx, heightPx } = pageCrop(content(5), 600, { width: 300, height: 90 })
    expect([widthPx, heightPx]).toEqual([300, 90])
  })
})

describe('a strip on screen', () => {
  const draw = async (_: string, sizePx: number) => ({
    ...{ width: 10, height: Math.ceil(sizePx), baseline: Math.ceil(sizePx) },
    ink: new Uint8Array(10 * Math.ceil(sizePx)).fill(255),
  })

  it('shows the middle of every crop pixel for pixel, on white, with black text', async () => {
    const made = crops(3, 2, 500, 400)
    const sheet = await stripPicture(content(3, 2), made, draw)
    const { width, height } = screenCrop({ width: 500, height: 400 })
    const counts = new Map<number, number>()
    for (let i = 0; i < sheet.data.length; i += 3) {
      counts.set(sheet.data[i], (counts.get(sheet.data[i]) ?? 0) + 1)
    }
    for (const row of made) for (const crop of row) expect(counts.get(crop.data[0])).toBe(width * height)
    expect(counts.get(0)).toBeGreaterThan(0)
    expect(sheet.data[0]).toBe(0xffff)
    // The crops' six values, black and white: nothing else.
    expect(counts.size).toBe(8)
  })
})

describe('the values of a strip', () => {
  const usual = { from: 0, to: 1, steps: 5 }
  it('are even, with both ends', () => {
    expect(stripValues({}, usual, 0, 1)).toEqual([0, 0.25, 0.5, 0.75, 1])
    expect(stripValues({ from: 0.9, to: 0.6, steps: 4 }, usual, 0, 1)).toEqual([0.9, 0.8, 0.7, 0.6])
    expect(stripValues({ steps: 4 }, usual, 0, 1)).toEqual([0, 0.333, 0.667, 1])
  })

  it("show the pipeline's own value in its place", () => {
    expect(stripValues({ steps: 3 }, usual, 0, 1, 0.8)).toEqual([0, 0.5, 0.8, 1])
    expect(stripValues({ from: 1, to: 0, steps: 3 }, usual, 0, 1, 0.8)).toEqual([1, 0.8, 0.5, 0])
    expect(stripValues({ steps: 3 }, usual, 0, 1, 0.5)).toEqual([0, 0.5, 1])
    expect(stripValues({ to: 0.6, steps: 3 }, usual, 0, 1, 0.8)).toEqual([0, 0.3, 0.6])
  })

  it.each([
    [{ from: -0.1 }, /--from.*from 0 to 1.*found -0\.1/],
    [{ to: 1.5 }, /--to.*found 1\.5/],
    [{ to: Number.NaN }, /--to/],
    [{ steps: 1 }, /--steps.*2 to 24/],
    [{ steps: 2.5 }, /--steps/],
    [{ steps: 25 }, /--steps/],
    [{ from: 1 }, /--to.*another number/],
  ])('%j is refused', (asked, message) => {
    expect(() => stripValues(asked, usual, 0, 1)).toThrow(message)
  })
})
