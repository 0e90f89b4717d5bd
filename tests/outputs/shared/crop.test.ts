import { describe, expect, it } from 'vitest'
import { printParams } from '../../../src/outputs/print/params.js'
import { print } from '../../../src/outputs/print/print.js'
import { cropFindings } from '../../../src/outputs/shared/cropFindings.js'
import { cropTo } from '../../../src/outputs/shared/cropTo.js'
import { paintedMap } from '../../../src/outputs/shared/paintedMap.js'
import { all, drawn } from '../../raster/resample/drawn.js'
import { masterInfo } from '../derived.js'

/** A sheet of 300 x 200 mm at 100 ppi. */
const master = masterInfo(1181, 787, { ppi: 100 })
const planned = (written: object, info = master) =>
  print.plan(printParams.parse({ sheet: '200x200mm', border: '0mm', image: 'fill', ...written }), info)
const cropOf = (written: object) =>
  print.derivation!(
    printParams.parse({ sheet: '200x200mm', border: '0mm', image: 'fill', ...written }),
    master,
  ).crop

describe('a focus', () => {
  it('lies in the middle of what is shown, or as near as the picture reaches', () => {
    const picture = { width: 300, height: 200 }
    const at = (x: number) => cropTo(picture, 1, { x, y: 50, width: 20, height: 20 })
    expect(at(120)).toEqual({ x: 30, y: 0, width: 200, height: 200 })
    expect(at(5).x).toBe(0)
    expect(at(270).x).toBe(100)
  })

  it('is said in lengths on the original or in percentages, which come to the same', () => {
    const inMm = cropOf({ focus: { left: '180mm', top: '5cm', width: '60mm', height: '60mm' } })
    const inPercent = cropOf({ focus: { left: '60%', top: '25%', width: '20%', height: '30%' } })
    expect(inMm.x).toBeCloseTo(inPercent.x, 0)
    // The middle of the focus is at 210 mm, so the 200 mm that are shown would begin at 110: the sheet ends before.
    expect(inMm.x).toBeCloseTo((100 / 25.4) * 100, 0)
  })

  it('outside the picture is refused, and one that is too large is told', () => {
    const focus = { left: '90%', top: '0%', width: '20%', height: '10%' }
    expect(() => planned({ focus })).toThrow(/focus lies outside the picture.*inside 300 x 200 mm/)
    expect(() => planned({ focus: { ...focus, left: '-1%' } })).toThrow(/focus lies outside/)
    expect(() => printParams.parse({ focus: { ...focus, left: 5 } })).toThrow(
      /length with its unit.*percentage/,
    )
    const wide = planned({ focus: { left: '0%', top: '0%', width: '100%', height: '100%' } })
    expect(JSON.stringify(wide.findings)).toMatch(/cannot keep all of the focus: 33 % of it are cut/)
    const small = planned({ focus: { left: '40%', top: '40%', width: '10%', height: '10%' } })
    expect(JSON.stringify(small.findings)).not.toContain('focus:')
  })
})

it('a focus nearer to the cut than the safe margin is told', () => {
  const crop = { x: 200, y: 0, width: 787, height: 787 }
  const near = { x: 210, y: 300, width: 100, height: 100 }
  const said = (focus: typeof near, safePx: number) =>
    cropFindings(crop, master, 'filling', focus, safePx).map((f) => ('text' in f ? f.text : ''))
  // 10 px at 100 ppi are 2.5 mm; the margin of 20 px is 5.1 mm.
  expect(said(near, 20)).toContain(
    'the focus comes within 2.5 mm of the cut, measured on the original; the safe margin is 5.1 mm there',
  )
  expect(said(near, 0).join()).not.toContain('focus')
  expect(said({ ...near, x: 230 }, 20).join()).not.toContain('focus')
})

/** A sheet with a margin of bare paper, painted from `from` to `to` of its width. */
function sheet(from: number, to: number) {
  return drawn(300, 200, (x, y, c) => {
    const painted = x >= from * 300 && x < to * 300 && y >= 20 && y < 180
    const tooth = 1 + 0.05 * Math.sin(x * 1.7) * Math.cos(y * 2.3)
    return (painted ? [0.3, 0.5, 0.7][c] : [0.86, 0.84, 0.8][c]) * tooth
  })
}

describe('where a sheet is painted', () => {
  it('is what differs from its lightest paper', () => {
    const { columns, rows, cells } = paintedMap(all(sheet(0.5, 0.9)))
    expect([columns, rows]).toEqual([50, 34])
    const at = (x: number, y: number) => cells[Math.floor(y * rows) * columns + Math.floor(x * columns)]
    expect(at(0.7, 0.5)).toBe(1)
    expect(at(0.2, 0.5)).toBe(0)
    expect(at(0.7, 0.03)).toBe(0)
    const share = cells.reduce((a, b) => a + b, 0) / cells.length
    expect(share).toBeCloseTo(0.4 * 0.8, 1)
  })

  it('makes a cut a warning only where paint is lost, with how much', () => {
    const crop = { x: 0, y: 0, width: 787, height: 787 }
    const left = { ...master, painted: paintedMap(all(sheet(0.05, 0.6))) }
    const right = { ...master, painted: paintedMap(all(sheet(0.4, 0.9))) }
    expect(cropFindings(crop, left, 'filling')).toEqual([
      {
        kind: 'statement',
        text: expect.stringMatching(/^filling cuts 33\.\d % of the picture: .*unpainted$/),
      },
    ])
    const [lost] = cropFindings(crop, right, 'filling')
    expect(lost.kind).toBe('warning')
    // From 2/3 to 0.9 of a painting that spans 0.4 to 0.9: 46.7 %.
    const share = /([\d.]+) % of what is painted/.exec((lost as { text: string }).text)![1]
    expect(Number(share)).toBeGreaterThan(44)
    expect(Number(share)).toBeLessThan(49)
  })

  it('unknown leaves every larger cut a warning', () => {
    const crop = { x: 0, y: 0, width: 787, height: 787 }
    expect(cropFindings(crop, master, 'filling')[0].kind).toBe('warning')
    expect(cropFindings({ ...crop, width: 1175 }, master, 'filling')[0].kind).toBe('statement')
    expect(cropFindings({ ...crop, width: 1181 }, master, 'filling')).toEqual([])
  })
})
