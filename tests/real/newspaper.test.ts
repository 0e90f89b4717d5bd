import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { PDFDocument } from 'pdf-lib'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { haveReal, measured, real, runReal } from './realRun.js'

/**
 * Four overlapping flatbed scans of one printed page, 818 x 1125 px at 300 ppi, rigid to about 0.3 px.
 * OpenCV test data (opencv_extra, testdata/stitching), Apache-2.0.
 */
const TILES = [1, 2, 3, 4].map((i) => `tiles/newspaper${i}.jpg`)

describe.skipIf(!haveReal('The page in four scans', ...TILES))('a real page in four scans', () => {
  it('becomes a master, a print, a card and a report', async () => {
    const { out, record, report } = await runReal(`title: A page in four scans
captures:
  kind: flatbed
  files: ${JSON.stringify(TILES.map(real))}
steps: [stitch, paper-texture, paper-white]
outputs:
  - print: { name: same-size, image: original-size }
  - print: { name: a4, sheet: A4, image: fit, border: 15mm }
  - card: { name: card, format: a6-folded, sheet: A4 }
`)
    const [master, sameSize, a4, card] = record.outputs
    // Four scans of 818 x 1125 px laid side by side in one direction: longer than one, no longer than four together.
    expect(master).toMatchObject({ kind: 'master', ppi: 300, depth: 16 })
    expect(master.width).toBeGreaterThan(1.5 * 1125)
    expect(master.width).toBeLessThan(4 * 1125)
    expect(master.height).toBeGreaterThan(818)
    expect(master.height).toBeLessThan(1.6 * 818)
    expect(master.widthMm).toBeCloseTo((master.width! / 300) * 25.4, 6)
    expect(sameSize).toMatchObject({ width: master.width, height: master.height, ppi: 300 })
    // ISO 216: A4 is 210 x 297 mm; a border of 15 mm leaves 180 x 267.
    expect(a4.widthMm).toBeLessThanOrEqual(267.1)
    expect(a4.heightMm).toBeLessThanOrEqual(180.1)
    expect(Math.max(a4.widthMm! / 267, a4.heightMm! / 180)).toBeCloseTo(1, 2)

    const header = await sharp(join(out, master.path)).metadata()
    expect(header).toMatchObject({
      width: master.width,
      height: master.height,
      depth: 'ushort',
      density: 300,
    })
    expect(header.icc).toBeDefined()
    const page = (await PDFDocument.load(await readFile(join(out, card.path)))).getPage(0)
    expect((page.getWidth() / 72) * 25.4).toBeCloseTo(210, 1)
    expect((page.getHeight() / 72) * 25.4).toBeCloseTo(297, 1)

    // The scans are rigid to about 0.3 px (their provenance); a join worse than half a pixel shows.
    expect(measured(record, 'stitch', 'misplacement rms')).toBeLessThan(0.5)
    expect(measured(record, 'stitch', 'uncovered')).toBeLessThan(5)
    expect(measured(record, 'paper-texture', 'relief left on blank paper')).toBeLessThan(-6)
    expect(record.warnings).toContainEqual({
      step: 'captures',
      message: expect.stringMatching(/newspaper1\.jpg and 3 more carry no profile.*taken as sRGB/),
    })
    expect(record.warnings).toContainEqual({ step: 'card', message: expect.stringMatching(/cuts \d/) })
    for (const { path } of record.outputs) expect(report).toContain(path)
    expect(await readFile(join(out, 'ticket.md'), 'utf8')).toContain('cards/card.pdf')
  })

  it('joined is no softer and no darker than the scan it came from', async () => {
    const { out, record } = await runReal(`captures: { files: ${JSON.stringify(TILES.map(real))} }
steps: [stitch]
master: { space: sRGB }
`)
    const master = await contrast(join(out, record.outputs[0].path))
    const scans = await Promise.all(TILES.map((tile) => contrast(real(tile))))
    const mean = (of: (one: { fine: number; level: number }) => number) =>
      scans.reduce((sum, one) => sum + of(one), 0) / scans.length
    expect(master.fine / mean(({ fine }) => fine)).toBeGreaterThan(0.85)
    expect(master.level / mean(({ level }) => level)).toBeGreaterThan(0.95)
    expect(master.level / mean(({ level }) => level)).toBeLessThan(1.05)
  })
})

/** Mean level and mean step from pixel to pixel of a picture's grey, 0..1. */
async function contrast(path: string): Promise<{ fine: number; level: number }> {
  const { data, info } = await sharp(path)
    .greyscale()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true })
  let [fine, level] = [0, 0]
  for (let i = 1; i < data.length; i++) {
    level += data[i]
    if (i % info.width !== 0) fine += Math.abs(data[i] - data[i - 1])
  }
  return { fine: fine / data.length / 255, level: level / data.length / 255 }
}
