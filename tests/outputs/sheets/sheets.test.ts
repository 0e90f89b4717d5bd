import { describe, expect, it } from 'vitest'
import { RequestError } from '../../../src/errors.js'
import { isoASheet } from '../../../src/outputs/sheets/isoSheet.js'
import { parseSheet, sheetName } from '../../../src/outputs/sheets/parseSheet.js'
import { SHEETS } from '../../../src/outputs/sheets/sheets.js'
import { PUBLISHED_INCH_SHEETS, PUBLISHED_SHEETS } from '../../published/sheets.js'

describe('sheets', () => {
  it('have the published sizes', () => {
    for (const [name, widthMm, heightMm] of PUBLISHED_SHEETS) {
      expect({ name, ...size(name) }).toEqual({ name, widthMm, heightMm })
    }
    for (const [name, widthMm, heightMm] of PUBLISHED_INCH_SHEETS) {
      expect(Math.abs(size(name).widthMm - widthMm)).toBeLessThanOrEqual(0.5)
      expect(Math.abs(size(name).heightMm - heightMm)).toBeLessThanOrEqual(0.5)
    }
  })

  it('keep the rule of ISO 216: one square metre, 1 : sqrt 2, halved and rounded down', () => {
    const { widthMm, heightMm } = isoASheet(0)
    expect((widthMm * heightMm) / 1e6).toBeCloseTo(1, 3)
    for (let n = 1; n <= 6; n++) {
      const [larger, smaller] = [isoASheet(n - 1), isoASheet(n)]
      expect(smaller.heightMm).toBe(larger.widthMm)
      expect(smaller.widthMm).toBe(Math.floor(larger.heightMm / 2))
      expect(Math.abs(smaller.heightMm / smaller.widthMm - Math.SQRT2)).toBeLessThan(0.01)
    }
  })

  it('are upright, and named once', () => {
    for (const { widthMm, heightMm } of SHEETS) expect(widthMm).toBeLessThanOrEqual(heightMm)
    expect(new Set(SHEETS.map(({ name }) => name.toLowerCase())).size).toBe(SHEETS.length)
  })

  it('are found by name or by size, in whatever spelling', () => {
    expect(parseSheet('sra3')).toMatchObject({ name: 'SRA3', widthMm: 320 })
    expect(parseSheet('400x300mm')).toMatchObject({ widthMm: 300, heightMm: 400 })
    expect(parseSheet('30 x 40.5 cm')).toMatchObject({ widthMm: 300, heightMm: 405 })
    expect(parseSheet('10x12in').widthMm).toBeCloseTo(254, 9)
    for (const wrong of ['A33', '300x400', '300mm', '5x5mm', '20x20000mm']) {
      expect(() => parseSheet(wrong)).toThrow(RequestError)
    }
    expect(() => parseSheet('foolscap')).toThrow(/A3\+, B4/)
  })

  it('are checked by the schema', () => {
    for (const good of ['A4', 'A3+', '300x400mm', '12.5 x 18 in']) {
      expect(sheetName().safeParse(good).success).toBe(true)
    }
    for (const bad of ['A44', 400, '300x400']) {
      const result = sheetName().safeParse(bad)
      expect(result.error?.issues[0].message).toMatch(/^expected a sheet such as A4/)
    }
  })
})

function size(name: string) {
  const { widthMm, heightMm } = parseSheet(name)
  return { widthMm, heightMm }
}
