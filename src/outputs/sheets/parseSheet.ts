import { z } from 'zod'
import { RequestError } from '../../errors.js'
import { toMm } from '../../units.js'
import { SHEETS, type Sheet } from './sheets.js'

const SIZE = /^(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(mm|cm|in)$/i
/** A printable sheet's sides, in millimetres. */
const SMALLEST_MM = 20
const LARGEST_MM = 10_000
const EXPECTED = 'a sheet such as A4, A3+, SRA3, letter or 13x19in, or a size such as 300x400mm'

/** A sheet by its name, or by its size: `A3+`, `300x400mm`, `13 x 19 in`. */
export function sheetName() {
  const error = `expected ${EXPECTED}`
  const names = SHEETS.map(({ name }) => name) as [string, ...string[]]
  return z.union([z.enum(names), z.string().regex(SIZE, { error })], { error })
}

/**
 * The sheet a text names, upright.
 * @throws RequestError where it names none, with the sheets there are
 */
export function parseSheet(text: string): Sheet {
  const wanted = text.trim().toLowerCase()
  const known = SHEETS.find(({ name }) => name.toLowerCase() === wanted)
  if (known) return known
  const [, a, b, unit] = SIZE.exec(text.trim()) ?? []
  if (!unit) {
    const names = SHEETS.map(({ name }) => name).join(', ')
    throw new RequestError({
      what: 'unknown sheet',
      expected: EXPECTED,
      found: `"${text}"`,
      todo: `Sheets known by name: ${names}`,
    })
  }
  const sides = [a, b]
    .map((value) => toMm({ value: Number(value), unit: unit.toLowerCase() as 'mm' | 'cm' | 'in' }))
    .sort((p, q) => p - q)
  if (sides[0] < SMALLEST_MM || sides[1] > LARGEST_MM) {
    throw new RequestError({
      what: 'not the size of a sheet',
      expected: `sides from ${SMALLEST_MM} mm to ${LARGEST_MM / 1000} m`,
      found: `"${text}"`,
    })
  }
  return { name: text.trim(), widthMm: sides[0], heightMm: sides[1], source: 'as given' }
}
