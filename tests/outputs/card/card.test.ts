import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { RequestError } from '../../../src/errors.js'
import { card } from '../../../src/outputs/card/card.js'
import { CARD_FORMATS } from '../../../src/outputs/card/formats.js'
import { impose, MARK_MM } from '../../../src/outputs/card/impose.js'
import { layoutCard } from '../../../src/outputs/card/layoutCard.js'
import { marks } from '../../../src/outputs/card/marks.js'
import { cardParams } from '../../../src/outputs/card/params.js'
import type { BoxMm, PdfItem } from '../../../src/outputs/PdfDocument.js'
import { OUTPUTS } from '../../../src/outputs/registry.js'
import { parseSheet } from '../../../src/outputs/sheets/parseSheet.js'
import { SHEETS } from '../../../src/outputs/sheets/sheets.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { drawn } from '../../raster/resample/drawn.js'
import { keepingContext, masterInfo } from '../derived.js'

const params = (written: object) => cardParams.parse(written)
const portrait = masterInfo(3000, 4200, { ppi: 600 })
const wide = masterInfo(4200, 3000, { ppi: 600 })
const painting = (width: number, height: number) =>
  drawn(width, height, (x, y, c) => 0.2 + (0.5 * x) / width + (0.2 * y) / height + 0.03 * c)
const apart = (a: BoxMm, b: BoxMm) =>
  a.x + a.width <= b.x + 1e-6 ||
  b.x + b.width <= a.x + 1e-6 ||
  a.y + a.height <= b.y + 1e-6 ||
  b.y + b.height <= a.y + 1e-6
const grown = ({ x, y, width, height }: BoxMm, by: number) => ({
  x: x - by,
  y: y - by,
  width: width + 2 * by,
  height: height + 2 * by,
})

describe('imposition', () => {
  it('lays an A5 flat once on A4 and twice on A3', () => {
    for (const master of [portrait, wide]) {
      const pieces = (sheet: string) => layoutCard(params({ sheet }), master).imposition.pieces.length
      expect(pieces('A4')).toBe(1)
      expect(pieces('A3')).toBe(2)
      expect(() => layoutCard(params({ sheet: 'A4', up: 2 }), master)).toThrow(
        /2 flat cards do not fit the sheet A4.*The sheet A3 holds 2; this one holds up: 1/,
      )
    }
  })

  it('overlaps nothing, bleed included, and stays inside the sheet with marks and margin', () => {
    const mm = (max: number) => fc.double({ min: 0, max, noNaN: true })
    fc.assert(
      fc.property(
        ...([
          fc.constantFrom(...SHEETS),
          fc.double({ min: 40, max: 330, noNaN: true }),
          fc.double({ min: 40, max: 330, noNaN: true }),
          mm(6),
          mm(8),
          fc.option(fc.integer({ min: 1, max: 12 }), { nil: undefined }),
          fc.constantFrom('upright' as const, 'level' as const),
        ] as const),
        (sheet, widthMm, heightMm, bleedMm, marginMm, up, fold) => {
          let imposition: ReturnType<typeof impose>
          try {
            imposition = impose('x', { widthMm, heightMm, bleedMm }, sheet, up, marginMm)
          } catch (error) {
            expect(error).toBeInstanceOf(RequestError)
            return
          }
          const { pieces, grid } = imposition
          const on = imposition.sheet
          if (up) expect(pieces.length).toBe(up)
          const room = grown({ x: 0, y: 0, width: on.widthMm, height: on.heightMm }, -marginMm)
          const inside = (x: number, y: number) =>
            x >= room.x - 1e-6 &&
            x <= room.x + room.width + 1e-6 &&
            y >= room.y - 1e-6 &&
            y <= room.y + room.height + 1e-6
          const bleeds = pieces.map((piece) => grown(piece, bleedMm))
          bleeds.forEach((bleed, i) => {
            expect(pieces[i]).toMatchObject({ width: widthMm, height: heightMm })
            expect(inside(bleed.x, bleed.y) && inside(bleed.x + bleed.width, bleed.y + bleed.height)).toBe(
              true,
            )
            for (const other of bleeds.slice(i + 1)) expect(apart(bleed, other)).toBe(true)
          })
          // In the middle of the sheet.
          expect(grid.x).toBeCloseTo(on.widthMm - grid.x - grid.width, 6)
          for (const { from, to } of marks(imposition, bleedMm, fold)) {
            expect(inside(...from) && inside(...to)).toBe(true)
            const line = { x: from[0], y: from[1], width: to[0] - from[0], height: to[1] - from[1] }
            expect(Math.hypot(line.width, line.height)).toBeCloseTo(MARK_MM, 6)
            for (const bleed of bleeds) expect(apart(line, bleed)).toBe(true)
          }
        },
      ),
      { numRuns: 400, seed: 11 },
    )
  })

  it('marks every cut and every fold at both its ends', () => {
    const imposition = impose(
      'x',
      { widthMm: 210, heightMm: 148, bleedMm: 3 },
      parseSheet('A3'),
      undefined,
      3,
    )
    expect(imposition.sheet).toMatchObject({ widthMm: 297, heightMm: 420 })
    const lines = marks(imposition, 3, 'upright')
    const upright = lines.filter(({ from, to }) => from[0] === to[0])
    const solid = upright.filter(({ dashMm }) => !dashMm).map(({ from }) => from[0])
    expect([...new Set(solid)]).toEqual([43.5, 253.5])
    const folds = upright.filter(({ dashMm }) => dashMm)
    expect(folds.map(({ from }) => from[0])).toEqual([148.5, 148.5])
    // Two cards of 148 mm with 6 mm between, on 420 mm: cuts at 59, 207, 213, 361.
    const level = lines.filter(({ from, to }) => from[1] === to[1]).map(({ from }) => from[1])
    expect([...new Set(level)].sort((a, b) => a - b)).toEqual([59, 207, 213, 361])
  })
})

describe('card', () => {
  it('is registered, and valid with nothing said', () => {
    expect(OUTPUTS.get('card')).toBe(card)
    expect(card.plan(params({}), portrait).files[0]).toMatchObject({
      path: 'cards/card.pdf',
      depth: 8,
      ppi: 300,
    })
  })

  it('has the sizes of its format, portrait folded at the left and landscape on top', () => {
    const flatOf = (format: string, master = portrait) =>
      layoutCard(params({ format, sheet: 'A2' }), master).flat
    expect(flatOf('a6-folded')).toMatchObject({
      widthMm: 210,
      heightMm: 148,
      front: { x: 105, y: 0, width: 105, height: 148 },
      back: { x: 0 },
      fold: 'upright',
      backTurned: 0,
    })
    expect(flatOf('a6-folded', wide)).toMatchObject({
      widthMm: 148,
      heightMm: 210,
      front: { x: 0, y: 105, width: 148, height: 105 },
      back: { y: 0 },
      fold: 'level',
      backTurned: 180,
    })
    expect(flatOf('a5-folded')).toMatchObject({ widthMm: 297, heightMm: 210 })
    expect(flatOf('dl-folded').front).toMatchObject({ width: 99, height: 210 })
    expect(flatOf('square-folded', wide).front).toMatchObject({ x: 150, width: 150, height: 150 })
    expect(flatOf('5x7in-folded').front.width).toBeCloseTo(127, 9)
    expect(flatOf('5x7in-folded').front.height).toBeCloseTo(177.8, 9)
    for (const { name, folded, shortMm, longMm } of CARD_FORMATS) {
      const { front, widthMm, heightMm } = flatOf(name)
      expect([front.width, front.height]).toEqual([shortMm, longMm])
      expect([widthMm, heightMm]).toEqual([folded ? 2 * shortMm : shortMm, longMm])
    }
    expect(layoutCard(params({ orientation: 'portrait' }), wide).landscape).toBe(false)
  })

  it('fills the trim and lets the picture go on into the bleed, not over the fold', () => {
    const { picture, crop, shown, effectivePpi } = layoutCard(params({}), portrait)
    expect(picture).toEqual({ x: 105, y: -3, width: 108, height: 154 })
    // The front is 105 x 148 mm; of 3000 x 4200 px it shows 2979.7 x 4200.
    expect(shown.height).toBe(4200)
    expect(shown.width).toBeCloseTo((4200 * 105) / 148, 9)
    expect(crop.x).toBeCloseTo(shown.x, 9)
    const pxPerMm = shown.width / 105
    expect(crop.width).toBeCloseTo(108 * pxPerMm, 6)
    expect(crop.y).toBeCloseTo(-3 * pxPerMm, 6)
    expect(crop.height).toBeCloseTo(154 * pxPerMm, 6)
    expect(effectivePpi).toBeCloseTo(pxPerMm * 25.4, 6)
    const { findings } = card.plan(params({}), portrait)
    expect(findings).toContainEqual({
      kind: 'statement',
      text: 'the 3 mm of bleed go on with the picture, mirrored at its edge where there is no more of it: 2.6 mm at the right, 3 mm at the top, 3 mm at the bottom',
    })
    expect(
      card
        .plan(params({ bleed: '0mm' }), portrait)
        .findings.some((f) => 'text' in f && f.text.includes('bleed')),
    ).toBe(false)
  })

  it('fits the whole picture inside a border where asked', () => {
    const { picture, crop } = layoutCard(params({ image: 'fit', border: '12mm' }), portrait)
    expect(crop).toEqual({ x: 0, y: 0, width: 3000, height: 4200 })
    expect(picture.width).toBeCloseTo(81, 9)
    expect(picture.height).toBeCloseTo(81 * 1.4, 9)
    expect(picture.x).toBeCloseTo(105 + 12, 9)
    expect(picture.y).toBeCloseTo((148 - 81 * 1.4) / 2, 9)
  })

  it('writes one picture, placed on every card, with trim and bleed to the pixel', async () => {
    const master = masterInfo(400, 300, { ppi: 100 })
    const { context, documents, asked } = keepingContext(painting(400, 300), master)
    await card.render(
      params({ sheet: 'A3', ppi: 254, back: 'Harbour at low tide', bleed: '3mm', sharpening: 'none' }),
      context,
    )
    expect(asked.length).toBe(1)
    // 254 ppi: ten pixels a millimetre. 148 + 2 x 3 by 105 + 3 mm.
    expect([asked[0].width, asked[0].height]).toEqual([1540, 1080])
    const [{ path, document }] = documents
    expect(path).toBe('cards/card.pdf')
    expect(document.title).toBe('Harbour at low tide: card')
    expect(document.pages.length).toBe(1)
    const [page] = document.pages
    expect([page.widthMm, page.heightMm]).toEqual([420, 297])
    const pictures = page.items.filter((item) => item.kind === 'picture')
    expect(pictures.length).toBe(2)
    expect(new Set(pictures.map(({ raster }) => raster)).size).toBe(1)
    // Trimmed, each card is 148 x 210 mm, its front the lower half; the picture's box is that and the bleed on three sides.
    const pieces = layoutCard(params({ sheet: 'A3' }), master).imposition.pieces
    pictures.forEach(({ box }, i) => {
      expect(box.x).toBeCloseTo(pieces[i].x - 3, 9)
      expect(box.y).toBeCloseTo(pieces[i].y + 105, 9)
      expect([box.width, box.height]).toEqual([154, 108])
    })
    // Ten pixels a millimetre: pixel column 30 is the first inside the trim. The picture's left edge lies there.
    const { data, width } = pictures[0].raster
    const at = (x: number) => data[(500 * width + x) * 3]
    for (let k = 0; k < 30; k++) expect(Math.abs(at(29 - k) - at(30 + k))).toBeLessThanOrEqual(1)
    expect(at(200)).toBeGreaterThan(at(40))
    const text = page.items.filter(
      (item): item is PdfItem & { kind: 'text' } => item.kind === 'text' && item.align !== 'start',
    )
    expect(text.map(({ text, turned }) => [text, turned])).toEqual([
      ['Harbour at low tide', 180],
      ['Harbour at low tide', 180],
    ])
    text.forEach(({ at: [x, y] }, i) => {
      expect(x).toBeCloseTo(pieces[i].x + 74, 9)
      expect(y).toBeCloseTo(pieces[i].y + 12, 9)
    })
  })

  it('writes the inside where asked, so that both sides meet when the sheet is turned over', async () => {
    const master = masterInfo(300, 400)
    const { context, documents } = keepingContext(painting(300, 400), master)
    await card.render(
      params({ sheet: 'A3', up: 1, inside: { line: 'With love' }, sharpening: 'none' }),
      context,
    )
    const [outside, inside] = documents[0].document.pages
    // The line, and below the marks the note that is cut away.
    expect(inside.items).toHaveLength(2)
    const [line, note] = inside.items as (PdfItem & { kind: 'text' })[]
    const picture = outside.items[0] as PdfItem & { kind: 'picture' }
    // Seen through the paper, the line lies behind the back panel, left of the front on the outside.
    const seenThrough = outside.widthMm - line.at[0]
    expect(seenThrough).toBeCloseTo(picture.box.x - 105 / 2, 6)
    expect(line.turned).toBe(0)
    const { imposition, bleedMm } = layoutCard(params({ sheet: 'A3', up: 1 }), master)
    const foot = imposition.grid.y + imposition.grid.height + bleedMm + MARK_MM
    expect(note.text).toMatch(/card, inside, on the back of the sheet; print at 100 %$/)
    expect(note.at[1]).toBeGreaterThan(foot + 2)
    expect(note.at[1]).toBeLessThan(inside.heightMm - 3)
  })

  it('stands as a tent with the picture upright on both sides of the fold', async () => {
    const { context, documents } = keepingContext(painting(840, 600), masterInfo(840, 600, { ppi: 120 }))
    const written = { orientation: 'tent', ppi: 72, sharpening: 'none', sheet: 'A4' }
    await card.render(params(written), context)
    const [{ items }] = documents[0].document.pages
    const [front, back] = items.filter(
      (item): item is PdfItem & { kind: 'picture' } => item.kind === 'picture',
    )
    expect(back.raster).toBe(front.raster)
    expect([front.turned ?? 0, back.turned]).toEqual([0, 180])
    const { imposition, bleedMm } = layoutCard(params(written), context.master)
    const [piece] = imposition.pieces
    const fold = piece.y + piece.height / 2
    expect(front.box.y).toBeCloseTo(fold, 6)
    expect(back.box.y + back.box.height).toBeCloseTo(fold, 6)
    expect(back.box.x).toBeCloseTo(piece.x - bleedMm, 6)
    expect([back.box.width, back.box.height]).toEqual([front.box.width, front.box.height])
    expect(() => params({ ...written, back: 'A line' })).toThrow(/a tent shows the picture on both sides/)
  })

  it('flat is its own size, cut on all sides, with its back on the other side of the sheet', async () => {
    const flatOf = (format: string, master = portrait) => layoutCard(params({ format, sheet: 'A2' }), master)
    // ISO 216: A6 is 105 x 148 mm, A5 148 x 210 mm.
    expect(flatOf('a6-flat').flat).toMatchObject({ widthMm: 105, heightMm: 148, fold: 'none' })
    expect(flatOf('a5-flat', wide).flat).toMatchObject({ widthMm: 210, heightMm: 148 })
    expect(flatOf('a6-flat').picture).toEqual({ x: -3, y: -3, width: 111, height: 154 })
    const master = masterInfo(300, 420, { ppi: 72 })
    const { context, documents } = keepingContext(painting(300, 420), master)
    const written = { format: 'a6-flat', sheet: 'A4', back: 'Harbour', ppi: 72, sharpening: 'none' }
    await card.render(params(written), context)
    const { imposition } = layoutCard(params(written), master)
    expect(imposition.pieces).toHaveLength(2)
    const [front, back] = documents[0].document.pages
    expect(front.items.filter(({ kind }) => kind === 'picture')).toHaveLength(2)
    expect(front.items.filter((item) => item.kind === 'line' && item.dashMm)).toEqual([])
    // Seen through the paper every line stands in the middle of a card.
    const lines = back.items.flatMap((item) => (item.kind === 'text' && item.align !== 'start' ? [item] : []))
    const middles = (xs: number[]) => xs.sort((a, b) => a - b).map((x) => x.toFixed(6))
    expect(middles(lines.map(({ at }) => back.widthMm - at[0]))).toEqual(
      middles(imposition.pieces.map(({ x, width }) => x + width / 2)),
    )
    const [line] = lines
    expect(line.turned).toBe(0)
    expect(line.at[1]).toBeCloseTo(imposition.pieces[0].y + 148 - 12, 6)
    // Two A5 flats with their bleed do not fit A4 (ISO 216: 210 x 297 mm, and they are 148 x 210 each).
    expect(() => card.plan(params({ format: 'a5-flat', up: 2 }), portrait)).toThrow(
      /2 flat cards do not fit the sheet A4.*The sheet A3 holds \d; this one holds up: 1/,
    )
    expect(card.plan(params(written), portrait).ticket.join('\n')).toMatch(
      /two pages.*Second page: the back\..*Grain: along the card's longer side.*Cut along the marks/s,
    )
  })

  it('can have any size, folded along its longer side', () => {
    const flat = (format: string) => layoutCard(params({ format, sheet: 'A2' }), portrait).flat
    expect(flat('120x170mm-folded')).toMatchObject({ widthMm: 240, heightMm: 170, fold: 'upright' })
    expect(flat('17 x 12 cm-flat')).toMatchObject({ widthMm: 120, heightMm: 170, fold: 'none' })
    expect(() => flat('5x700mm-flat')).toThrow(/not the size of a card.*sides from 30/)
  })

  it('has a small mark on its back, in the middle above the line, turned as the back is', async () => {
    const mark = emptyRaster(400, 200)
    const beside = new Map([['/mark.png', mark]])
    const master = masterInfo(420, 300, { ppi: 72 })
    const written = { mark: { file: '/mark.png', height: '9mm' }, back: 'A\nB', ppi: 72, sharpening: 'none' }
    const { context, documents } = keepingContext(painting(420, 300), master, beside)
    await card.render(params(written), context)
    const [{ items }] = documents[0].document.pages
    const placed = items.find((item) => item.kind === 'picture' && item.raster === mark)
    const [piece] = layoutCard(params(written), master).imposition.pieces
    expect(placed).toMatchObject({ turned: 180, box: { width: 18, height: 9 } })
    const { box } = placed as PdfItem & { kind: 'picture' }
    expect(box.x + box.width / 2).toBeCloseTo(piece.x + piece.width / 2, 6)
    // Upside down: beyond the lines, seen from the head of the page, and clear of them.
    const lines = items.flatMap((item) => (item.kind === 'text' && item.turned === 180 ? [item.at[1]] : []))
    expect(lines).toHaveLength(2)
    expect(box.y).toBeGreaterThan(Math.max(...lines) + 3)
    expect(box.y + box.height).toBeLessThan(piece.y + 105 - 5)
    const plan = (more: object) => card.plan(params({ ...written, ...more }), master, context.beside)
    expect(() => plan({ mark: { file: '/mark.png', height: '90mm' } })).toThrow(
      /the mark does not fit the back.*at most 69 mm/,
    )
    expect(params({ mark: '/mark.png' }).mark).toEqual({
      file: '/mark.png',
      height: { value: 8, unit: 'mm' },
    })
    expect(card.pictures!(params(written))).toEqual([{ key: 'mark', path: '/mark.png' }])
  })

  it('bleeds into bare paper where asked, and only where there is no more picture', async () => {
    // As wide as the front: the picture ends at the trim at left and right and goes on at top and bottom.
    const master = masterInfo(420, 900, { ppi: 120 })
    const render = async (beyond: string) => {
      const { context, documents } = keepingContext(painting(420, 900), master)
      await card.render(params({ 'bleed-beyond': beyond, ppi: 100, sharpening: 'none' }), context)
      const [picture] = documents[0].document.pages[0].items
      return (picture as PdfItem & { kind: 'picture' }).raster
    }
    const [mirrored, paper] = [await render('mirrored'), await render('paper')]
    // 105 + 3 mm (no bleed at the fold) by 148 + 6 mm at 100 ppi.
    expect([paper.width, paper.height]).toEqual([425, 606])
    const bleedFrom = Math.ceil((105 / 108) * 425)
    for (const y of [0, 300, 605]) {
      for (const x of [0, 200, bleedFrom - 1]) {
        const at = (y * 425 + x) * 3
        expect(paper.data[at]).toBe(mirrored.data[at])
        expect(paper.data[at]).toBeLessThan(63000)
      }
      for (const x of [bleedFrom, 424]) {
        const at = (y * 425 + x) * 3
        expect([...paper.data.slice(at, at + 3)]).toEqual([65535, 65535, 65535])
        expect(mirrored.data[at]).toBeLessThan(63000)
      }
    }
  })

  it('names the characters that its typeface lacks, before rendering', () => {
    expect(() => card.plan(params({ back: 'Hafen 海' }), portrait)).toThrow(
      /back: the typeface has no 海 \(U\+6D77\)/,
    )
    expect(() => card.plan(params({ inside: { line: '🙂' } }), portrait)).toThrow(/inside: .*U\+1F642/)
    expect(() => card.plan(params({ back: 'Ebbe — Ωκεανός, Гавань' }), portrait)).not.toThrow()
  })

  it('refuses before rendering what cannot be made', () => {
    const refused = (written: object, words: RegExp, master = portrait) => {
      expect(() => card.plan(params(written), master)).toThrow(RequestError)
      expect(() => card.plan(params(written), master)).toThrow(words)
    }
    refused({ format: 'a5-folded' }, /the flat card does not fit the sheet A4.*The sheet A3 holds 1/)
    refused(
      { back: 'x'.repeat(200) },
      /back: the text is too long \(expected lines of at most about \d+ letters/,
    )
    refused({ inside: { line: 'x'.repeat(200) } }, /inside: the text is too long/)
    refused({ back: Array(200).fill('x').join('\n') }, /too long.*200 lines/)
    refused({ bleed: '30mm' }, /bleed \(expected 0 to 20 mm/)
    refused({ image: 'fit', border: '60mm' }, /border leaves nothing of the front/)
    refused({ viewing: '0mm' }, /viewing distance/)
    refused({ sheet: '600x600cm' }, /larger than a page of a PDF.*at most 5080 mm/)
    refused({ margin: '-2mm' }, /margin/)
  })

  it('is checked by its schema', () => {
    const wrong = (written: object) => cardParams.safeParse(written).error?.issues[0].path.join('.')
    expect(wrong({ format: 'a9-folded' })).toBe('format')
    expect(wrong({ bleed: 3 })).toBe('bleed')
    expect(wrong({ up: 1.5 })).toBe('up')
    expect(wrong({ name: '../x' })).toBe('name')
    expect(wrong({ inside: 'full' })).toBe('inside')
    expect(wrong({ format: 'a6-flat', inside: { line: 'x' } })).toBe('inside')
    expect(wrong({ format: 'a6-flat', orientation: 'tent' })).toBe('orientation')
    expect(wrong({ orientation: 'tent', mark: 'm.png' })).toBe('mark')
    expect(wrong({ image: 'fit', bleed: '3mm' })).toBe('bleed')
    expect(wrong({ image: 'fit', bleed: '0mm' })).toBeUndefined()
    expect(wrong({ quality: 0 })).toBe('quality')
    expect(wrong({ inside: 'blank', back: 'a line', viewing: '35cm', anchor: 'top' })).toBeUndefined()
  })
})
