import { RequestError } from '../../../errors.js'
import type { ChartReference } from '../ChartReference.js'
import { CHART24, CHART24_COLUMNS, CHART24_NAMES, CHART24_WHITE, chart24Position } from '../chart24.js'
import { colourOfRow } from './colourOfRow.js'
import { type CgatsTable, parseCgats } from './parseCgats.js'

/**
 * The reference of a 24-patch chart from an ISO 28178 (CGATS) text: Lab, XYZ or spectra.
 * @param text the file's text
 * @param label the file, for messages
 * @throws RequestError where patches are missing, doubled or misnamed, or the numbers are on no known scale
 */
export function readReference(text: string, label: string): ChartReference {
  const tables = parseCgats(text, label)
  const table = tables.find(({ fields }) => idField(fields) >= 0) ?? tables[0]
  const id = idField(table.fields)
  if (id < 0) {
    throw new RequestError({
      where: label,
      what: 'the data have no column that names the patches',
      expected: 'a field SAMPLE_ID (or SAMPLE_NAME) with 1..24, or A1..F4 where the letter is the column',
      found: table.fields.join(' '),
    })
  }
  const rows = placed(table, id, label)
  const convert = colourOfRow(table, label)
  const labD50 = rows.map((row) => convert(row))
  if (labD50[CHART24_WHITE][0] < 80) {
    throw new RequestError({
      where: label,
      what: `patch ${CHART24_WHITE + 1} (${chart24Position(CHART24_WHITE)}) is not the white one`,
      expected: 'L* above 80',
      found: `L* ${labD50[CHART24_WHITE][0].toFixed(1)}`,
      todo: 'Number the patches row by row, the row of greys last, from white to black',
    })
  }
  const name = label.split(/[/\\]/).at(-1)!
  return { name, description: `measured values in ${name}`, source: describe(table), layout: CHART24, labD50 }
}

function idField(fields: readonly string[]): number {
  for (const name of ['SAMPLE_ID', 'SAMPLE_NAME', 'SAMPLE_LOC', 'SAMPLEID']) {
    const at = fields.findIndex((field) => field.toUpperCase() === name)
    if (at >= 0) return at
  }
  return -1
}

/** The rows in patch order; every mistake in the names is told at once. */
function placed({ rows }: CgatsTable, id: number, label: string): string[][] {
  const inOrder = new Array<string[] | undefined>(CHART24_NAMES.length).fill(undefined)
  const misnamed: string[] = []
  const doubled: string[] = []
  for (const row of rows) {
    const index = patchIndex(row[id])
    if (index === undefined) misnamed.push(row[id])
    else if (inOrder[index]) doubled.push(row[id])
    else inOrder[index] = row
  }
  const missing = inOrder.flatMap((row, k) => (row ? [] : [`${k + 1} (${chart24Position(k)})`]))
  const expected = 'each of 1..24, or of A1..F4 where the letter is the column, once'
  const problems = [
    ...(misnamed.length
      ? [{ what: 'patches with names that the chart has not', found: list(misnamed) }]
      : []),
    ...(doubled.length ? [{ what: 'patches that stand there twice', found: list(doubled) }] : []),
    ...(missing.length ? [{ what: 'patches that are missing', found: list(missing) }] : []),
  ]
  if (problems.length > 0) {
    throw new RequestError(problems.map((problem) => ({ where: label, expected, ...problem })))
  }
  return inOrder as string[][]
}

/** Index 0..23 of `1`..`24` or `A1`..`F4` (also `A01`). */
function patchIndex(name: string): number | undefined {
  const number = /^0*(\d{1,2})$/.exec(name)
  if (number) {
    const index = Number(number[1]) - 1
    return index >= 0 && index < CHART24_NAMES.length ? index : undefined
  }
  const place = /^([A-F])0?([1-4])$/i.exec(name)
  if (!place) return undefined
  const column = place[1].toUpperCase().charCodeAt(0) - 65
  return (Number(place[2]) - 1) * CHART24_COLUMNS + column
}

function describe({ keywords }: CgatsTable): string {
  const facts = ['ORIGINATOR', 'DESCRIPTOR', 'FILE_DESCRIPTOR', 'CREATED']
    .map((key) => keywords.get(key))
    .filter(Boolean)
  return facts.length ? facts.join(', ') : 'no originator stated in the file'
}

const list = (names: readonly string[]) =>
  names.length > 8 ? `${names.slice(0, 8).join(', ')} and ${names.length - 8} more` : names.join(', ')
