import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { RequestError } from '../../../src/errors.js'
import { layoutPrint } from '../../../src/outputs/print/layoutPrint.js'
import { printParams } from '../../../src/outputs/print/params.js'
import { planPrint } from '../../../src/outputs/print/planPrint.js'
import { print } from '../../../src/outputs/print/print.js'
import { OUTPUTS } from '../../../src/outputs/registry.js'
import { SHEETS } from '../../../src/outputs/sheets/sheets.js'
import { drawn } from '../../raster/resample/drawn.js'
import { keepingContext, masterInfo } from '../derived.js'

const params = (written: object) => printParams.parse(written)
const landscape = masterInfo(7000, 5000, { ppi: 600 })
const paint = drawn(700, 500, (x, y, c) => 0.4 + 0.2 * Math.sin(x / 9) * Math.cos(y / 7) + 0.1 * c)

describe('print', () => {
  it('is registered, and valid with nothing said: the original at its size', () => {
    expect(OUTPUTS.get('print')).toBe(print)
    const { picture, sheet, effectivePpi } = layoutPrint(params({}), landscape)
    expect(sheet).toBeUndefined()
    // 7000 x 5000 px at 600 ppi: 11 2/3 x 8 1/3 in.
    expect(picture.width).toBeCloseTo((7000 / 600) * 25.4, 9)
    expect(picture.height).toBeCloseTo((5000 / 600) * 25.4, 9)
    expect(effectivePpi).toBeCloseTo(600, 9)
  })

  it('lies inside its sheet and border, in the middle, at its shape, within 0.1 mm', () => {
    const sheets = fc.constantFrom(...SHEETS.map(({ name }) => name))
    const side = fc.integer({ min: 300, max: 12_000 })
    fc.assert(
      fc.property(
        sheets,
        fc.constantFrom('fit', 'fill'),
        side,
        side,
        fc.integer({ min: 0, max: 40 }),
        (sheet, image, width, height, border) => {
          const master = masterInfo(width, height)
          const written = params({ sheet, image, border: `${border}mm` })
          const { picture, sheet: on, crop } = layoutPrint(written, master)
          const [left, right] = [picture.x, on!.widthMm - picture.x - picture.width]
          const [top, foot] = [picture.y, on!.heightMm - picture.y - picture.height]
          expect(left).toBeCloseTo(right, 6)
          expect(top).toBeCloseTo(foot, 6)
          expect(Math.min(left, top)).toBeCloseTo(border, 6)
          if (image === 'fill') expect(Math.max(left, top)).toBeCloseTo(border, 6)
          expect(crop.width / crop.height).toBeCloseTo(picture.width / picture.height, 6)
          expect(crop.x).toBeGreaterThanOrEqual(0)
          expect(crop.x + crop.width).toBeLessThanOrEqual(width + 1e-9)
          if (image === 'fit') expect(crop).toEqual({ x: 0, y: 0, width, height })
          const { files } = planPrint(written, master)
          expect(Math.abs(files[0].widthMm - picture.width)).toBeLessThan(0.1)
          expect(Math.abs(files[0].heightMm - picture.height)).toBeLessThan(0.1)
          expect(files[0].width).toBe(Math.round((files[0].widthMm / 25.4) * 300))
        },
      ),
      { numRuns: 100, seed: 3 },
    )
  })

  it('turns the sheet to suit the picture', () => {
    const on = (master: typeof landscape) => layoutPrint(params({ sheet: 'A3' }), master).sheet!
    expect(on(landscape)).toMatchObject({ widthMm: 420, heightMm: 297, landscape: true })
    expect(on(masterInfo(5000, 7000))).toMatchObject({ widthMm: 297, heightMm: 420, landscape: false })
  })

  it('takes sizes in every form', () => {
    const size = (image: object | string) => layoutPrint(params({ image, sheet: 'A1' }), landscape).picture
    expect(size('original-size').width).toBeCloseTo(296.333, 3)
    expect(size({ width: '200mm' })).toMatchObject({ width: 200 })
    expect(size({ width: '200mm' }).height).toBeCloseTo(200 * (5 / 7), 9)
    expect(size({ height: '10in' }).height).toBeCloseTo(254, 9)
    expect(size({ enlarge: '150%' }).width).toBeCloseTo(444.5, 6)
    const weighted = layoutPrint(params({ sheet: 'A3', border: '20mm', foot: '40mm' }), landscape)
    expect(weighted.sheet!.heightMm - weighted.picture.y - weighted.picture.height).toBeGreaterThanOrEqual(40)
    expect(weighted.picture.y).toBeGreaterThanOrEqual(20)
  })

  it('keeps what the anchor says when filling', () => {
    const crop = (anchor: string) =>
      layoutPrint(params({ sheet: '100x100mm', image: 'fill', border: '0mm', anchor }), landscape).crop
    expect(crop('centre')).toEqual({ x: 1000, y: 0, width: 5000, height: 5000 })
    expect(crop('left').x).toBe(0)
    expect(crop('bottom-right').x).toBe(2000)
    const { findings } = planPrint(params({ sheet: '100x100mm', image: 'fill', anchor: 'left' }), landscape)
    expect(findings).toContainEqual({
      kind: 'warning',
      text: 'filling the sheet cuts 28.6 % of the picture: 28.6 % at the right',
    })
  })

  it('states the viewing distance: 1.5 diagonals, 300 mm at least, or as said', () => {
    const viewing = (written: object) => layoutPrint(params(written), landscape).viewingMm
    expect(viewing({ sheet: 'A3+' })).toBeCloseTo(1.5 * Math.hypot(299 * 1.4, 299), 6)
    expect(viewing({ image: { width: '50mm' } })).toBe(300)
    expect(viewing({ viewing: '2.5cm' })).toBe(25)
  })

  it('says in words what its resolution is worth', () => {
    const said = (written: object) =>
      planPrint(params(written), landscape)
        .findings.flatMap((f) =>
          f.kind === 'number' || f.kind === 'plot' || f.kind === 'picture' || f.kind === 'table'
            ? []
            : [`${f.kind}: ${f.text}`],
        )
        .join('\n')
    expect(said({})).toContain('statement: 600 captured pixels a printed inch: crisp at reading distance')
    expect(said({ image: { enlarge: '300%' } })).toContain(
      '200 captured pixels a printed inch: fine from a metre, crisp from 440 mm on',
    )
    const soft = said({ image: { enlarge: '1000%' }, viewing: '700mm' })
    expect(soft).toContain(
      'statement: 60 captured pixels a printed inch: will look soft from nearer than 1.5 m',
    )
    // One minute of arc from 700 mm is 124.7 ppi: the capture would have needed 600 x 124.7 / 60 = 1247 ppi.
    expect(soft).toContain(
      'warning: 60 captured pixels a printed inch will look soft from 700 mm, where the eye resolves 125; a capture at 1250 ppi would have been needed',
    )
  })

  it('refuses before rendering what cannot be made', () => {
    const refused = (written: object, words: RegExp, master = landscape) => {
      expect(() => print.plan(params(written), master)).toThrow(RequestError)
      expect(() => print.plan(params(written), master)).toThrow(words)
    }
    refused(
      { sheet: 'A4', border: '105mm' },
      /border leaves nothing of the sheet A4 \(expected less than 105 mm/,
    )
    refused(
      { sheet: 'A4', image: 'original-size' },
      /does not fit the sheet A4.*found 296\.3 x 211\.7 mm.*A3 holds it/,
    )
    refused({ format: 'jpg', image: { width: '6000mm' } }, /at most 65500 px a side.*format: tif/)
    refused({ image: { width: '9000mm' }, ppi: 1200 }, /too large/)
    refused({ viewing: '0mm' }, /viewing distance/)
    refused({ image: { width: '0mm' } }, /size of nothing/)
    refused({ sheet: 'A4', border: '-1mm' }, /less than nothing/)
  })

  it('is checked by its schema', () => {
    const issues = (written: object) =>
      printParams
        .safeParse(written)
        .error?.issues.map(({ path, message }) => `${path.join('.')}: ${message}`) ?? []
    expect(issues({ name: '../out' })[0]).toMatch(/^name: expected a name without a folder/)
    for (const name of ['a/b', '.hidden', 'a\\b', '', 'a.', 'nul\u0000'])
      expect(issues({ name })).not.toEqual([])
    expect(issues({ name: 'Großes Blatt 2' })).toEqual([])
    expect(issues({ sheet: 'A33' })[0]).toMatch(/^sheet: expected a sheet such as A4/)
    expect(issues({ border: 15 })[0]).toMatch(/^border: expected a length with its unit/)
    expect(issues({ image: 'fill' })).toEqual(['image: fill needs a sheet; add one, such as sheet: A3+'])
    expect(issues({ 'sheet-file': true })[0]).toMatch(/needs a sheet/)
    expect(issues({ format: 'jpg', depth: 16 })[0]).toMatch(/^depth: a JPEG has 8 bits/)
    expect(issues({ sharpening: 'none', 'ink-spread': '0.05mm', space: 'sRGB', quality: 90 })).toEqual([])
    expect(issues({ sharpening: { target: 0.9 } })).toEqual([])
    expect(issues({ sharpenning: 'none' })).not.toEqual([])
  })

  it('writes the picture alone at its pixels, or the whole sheet with paper white around', async () => {
    const info = masterInfo(700, 500, { ppi: 100 })
    const { context, pictures, asked } = keepingContext(paint, info)
    await print.render(
      params({ name: 'a', sheet: 'A5', border: '10mm', ppi: 100, format: 'png', space: 'sRGB' }),
      context,
    )
    await print.render(
      params({ name: 'b', sheet: 'A5', border: '10mm', ppi: 100, 'sheet-file': true, sharpening: 'none' }),
      context,
    )
    // A5 landscape, 210 x 148 mm: 128 mm high leaves 179.2 mm, 706 x 504 px.
    expect(pictures[0]).toMatchObject({ path: 'prints/a.png', raster: { width: 706, height: 504 } })
    expect(pictures[0].options).toEqual({ format: 'png', depth: 16, ppi: 100, space: 'sRGB', quality: 95 })
    expect(asked[1].sharpening).toBeNull()
    const { raster, path, options } = pictures[1]
    expect(path).toBe('prints/b.tif')
    expect(options).toMatchObject({ format: 'tif', depth: 16, space: 'opRGB' })
    expect([raster.width, raster.height]).toEqual([827, 583])
    // 15.4 mm from the left and 10 mm from the top: 61 and 39 px.
    const white = (x: number, y: number) =>
      [0, 1, 2].every((c) => raster.data[(y * 827 + x) * 3 + c] === 0xffff)
    for (const [x, y] of [
      [0, 0],
      [826, 582],
      [60, 300],
      [767, 300],
      [400, 38],
      [400, 543],
    ])
      expect(white(x, y)).toBe(true)
    for (const [x, y] of [
      [61, 300],
      [766, 300],
      [400, 39],
      [400, 542],
    ])
      expect(white(x, y)).toBe(false)
  })

  it('bleeds by whole pixels beyond a whole-pixel trim, mirrored or bare where there is no more picture', async () => {
    const info = masterInfo(700, 500, { ppi: 100 })
    const { context, pictures } = keepingContext(paint, info)
    const written = { sheet: 'A5', image: 'fill', border: '0mm', ppi: 254, sharpening: 'none' }
    for (const [name, more] of [
      ['cut', {}],
      ['mirrored', { bleed: '3mm' }],
      ['bare', { bleed: '3mm', 'bleed-beyond': 'paper' }],
    ] as const)
      await print.render(params({ ...written, ...more, name }), context)
    const [cut, mirrored, bare] = pictures.map(({ raster }) => raster)
    // A5 across is 210 x 148 mm (ISO 216); 254 ppi are ten pixels a millimetre.
    expect([cut.width, cut.height]).toEqual([2100, 1480])
    expect([mirrored.width, mirrored.height]).toEqual([2160, 1540])
    const at = (raster: typeof cut, x: number, y: number) => raster.data[(y * raster.width + x) * 3 + 1]
    for (const [x, y] of [
      [0, 0],
      [1050, 700],
      [2099, 1479],
      [3, 1479],
    ]) {
      expect(Math.abs(at(mirrored, x + 30, y + 30) - at(cut, x, y))).toBeLessThanOrEqual(1)
      expect(at(bare, x + 30, y + 30)).toBe(at(mirrored, x + 30, y + 30))
    }
    // The picture is a little taller than the sheet's shape: it ends at the sides and goes on for 1 mm at top and foot.
    for (const k of [0, 10, 29]) {
      expect(Math.abs(at(mirrored, 29 - k, 700) - at(mirrored, 30 + k, 700))).toBeLessThanOrEqual(1)
    }
    expect(at(bare, 700, 22)).toBe(at(mirrored, 700, 22))
    expect(at(bare, 700, 18)).toBe(0xffff)
    expect(at(bare, 0, 700)).toBe(0xffff)
    expect(at(mirrored, 0, 700)).toBeLessThan(0xffff)
    const { findings, ticket, files } = print.plan(params({ ...written, bleed: '3mm' }), info)
    expect(JSON.stringify(findings)).toContain(
      'the 3 mm of bleed go on with the picture, mirrored at its edge',
    )
    expect(ticket.join('\n')).toContain(
      '210 x 148 mm once cut, with 3 mm of bleed on all sides: the file is 216 x 154 mm',
    )
    expect(files[0].widthMm).toBeCloseTo(216, 9)
    const refused = (more: object) =>
      printParams.safeParse({ ...written, bleed: '3mm', ...more }).error?.issues[0].message
    expect(refused({ border: '5mm' })).toMatch(/no picture reaches the edge of the sheet to bleed/)
    expect(refused({ image: 'fit' })).toMatch(/image: fill and border: 0mm/)
    expect(refused({ sheet: undefined, image: { width: '90mm' }, border: '15mm' })).toBeUndefined()
    expect(() => print.plan(params({ ...written, bleed: '3cm' }), info)).toThrow(/0 to 20 mm/)
  })

  it('copies pixels where nothing is resampled', () => {
    const { derivation } = planPrint(params({ ppi: 600, sharpening: 'none' }), landscape)
    expect(derivation).toMatchObject({
      width: 7000,
      height: 5000,
      sharpening: null,
      crop: { x: 0, y: 0, width: 7000, height: 5000 },
    })
  })
})
