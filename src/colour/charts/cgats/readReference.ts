import { RequestError } from '../../../errors.js'
import type { ChartLayout } from '../ChartLayout.js'
import type { ChartReference } from '../ChartReference.js'
import { CHART24, CHART24_COLUMNS, CHART24_NAMES, chart24Position } from '../chart24.js'
import { type Grid, gridCells, gridIndex } from '../gridLayout.js'
import { IT8, it8Index } from '../it8.js'
import { colourOfRow } from './colourOfRow.js'
import { type CgatsTable, parseCgats } from './parseCgats.js'

/** How a chart's patches are named and where they lie. */
interface Naming {
  layout: Omit<ChartLayout, 'greys'> & { greys?: readonly number[] }
  /** How a message calls a patch. */
  nameOf(index: number): string
  indexOf(name: string): number | undefined
  expected: string
  /** Whether the data may leave patches out: they are not looked at then. */
  gaps: boolean
}

/** A patch of less chroma than this (CIELAB) counts as grey where no standard says which are. */
const GREY_CHROMA = 4

/** The lightest grey of a chart is at least so light (L*), or the rows are mixed up. */
const WHITE_L = 80
const GRID_WHITE_L = 60

/**
 * The reference of a chart from an ISO 28178 (CGATS) text: Lab, XYZ or spectra. Which chart it is, the names tell: the
 * ISO 12641-1 target by its grey scale GS0 to GS23, a chart of one's own by the grid given, else the 24-patch chart.
 * @param text the file's text
 * @param label the file, for messages
 * @param grid how a chart of one's own is laid out
 * @throws RequestError where patches are missing, doubled or misnamed, or the numbers are on no known scale
 */
export function readReference(text: string, label: string, grid?: Grid): ChartReference {
  const tables = parseCgats(text, label)
  const table = tables.find(({ fields }) => idField(fields) >= 0) ?? tables[0]
  const id = idField(table.fields)
  const naming = namingOf(table, id, grid)
  if (id < 0) {
    throw new RequestError({
      where: label,
      what: 'the data have no column that names the patches',
      expected: `a field SAMPLE_ID (or SAMPLE_NAME) with ${naming.expected}`,
      found: table.fields.join(' '),
    })
  }
  const rows = placed(table, id, label, naming)
  const convert = colourOfRow(table, label)
  const held = rows.flatMap((row, k) => (row ? [k] : []))
  const labD50 = held.map((k) => convert(rows[k]!))
  const patches = held.map((k) => naming.layout.patches[k])
  const greys = naming.layout.greys ?? greysAmong(labD50, label)
  const white = labD50[greys[0]]
  if (white[0] < (naming.layout.greys ? WHITE_L : GRID_WHITE_L)) {
    throw new RequestError({
      where: label,
      what: naming.layout.greys
        ? `patch ${naming.nameOf(held[greys[0]])} is not the white one`
        : 'none of the greys is light',
      expected: `L* above ${naming.layout.greys ? WHITE_L : GRID_WHITE_L}`,
      found: `L* ${white[0].toFixed(1)}`,
      todo:
        naming.layout === CHART24
          ? 'Number the patches row by row, the row of greys last, from white to black'
          : undefined,
    })
  }
  checkLight(table, white, label)
  const name = label.split(/[/\\]/).at(-1)!
  const layout = { ...naming.layout, patches, greys }
  return { name, description: `measured values in ${name}`, source: describe(table), layout, labD50 }
}

/** A chart's lightest grey is never so far from neutral (CIELAB chroma, D50). */
const TINTED = 12

/** Values measured for another light than D50 give the greys a tint that no chart has. */
function checkLight({ keywords }: CgatsTable, [, a, b]: readonly number[], label: string): void {
  const stated = [...keywords]
    .filter(([key]) => /ILLUM|WEIGHTING|MEASUREMENT_SOURCE|WHITE/i.test(key))
    .map(([key, value]) => `${key} ${value}`)
    .find((text) => /\b(D55|D65|D75|FL\d+)\b/.test(text.replace(/^\S+/, '')) && !/D50/.test(text))
  const chroma = Math.hypot(a, b)
  if (!stated && chroma < TINTED) return
  throw new RequestError({
    where: label,
    what: 'the values are for another light than D50',
    expected: 'Lab or XYZ for D50 and the 2 degree observer, or spectra',
    found:
      stated ??
      `a lightest grey of a* ${a.toFixed(1)}, b* ${b.toFixed(1)}, as values for a bluer or yellower white give`,
    todo: 'Export the measurements for D50, or as spectra, which need no light',
  })
}

function namingOf({ rows }: CgatsTable, id: number, grid: Grid | undefined): Naming {
  if (grid) {
    const { columns, rows: down, letters } = grid
    const patches = gridCells(grid)
    return {
      layout: { title: `chart of ${columns} x ${down} patches`, columns, rows: down, patches },
      nameOf: (k) => patches[k].name,
      indexOf: (name) => gridIndex(grid, name),
      expected: `each of 1..${columns * down}, or of A1, A2, … where the letter is the ${letters === 'columns' ? 'column' : 'row'}, at most once`,
      gaps: true,
    }
  }
  if (rows.some((row) => /^GS\s?0*\d+$/i.test(row[id] ?? ''))) {
    return {
      layout: IT8,
      nameOf: (k) => IT8.patches[k].name,
      indexOf: it8Index,
      expected: 'each of A1..L22 and GS0..GS23 once, as ISO 12641-1 names them',
      gaps: false,
    }
  }
  return {
    layout: CHART24,
    nameOf: (k) => `${k + 1} (${chart24Position(k)})`,
    indexOf: patchIndex,
    expected: `each of 1..24, or of A1..F4 where the letter is the column, once${rows.length > 24 ? '; for a chart of another kind say how it is laid out: grid: { columns: …, rows: … }' : ''}`,
    gaps: false,
  }
}

/** The greys of a chart of one's own, lightest first. */
function greysAmong(labD50: ChartReference['labD50'], label: string): number[] {
  const greys = labD50
    .map(([l, a, b], k) => ({ k, l, chroma: Math.hypot(a, b) }))
    .filter(({ chroma }) => chroma < GREY_CHROMA)
    .sort((one, two) => two.l - one.l)
    .map(({ k }) => k)
  if (greys.length >= 3) return greys
  throw new RequestError({
    where: label,
    what: 'the chart has too few greys to balance and expose by',
    expected: `three patches or more with a chroma below ${GREY_CHROMA}, one of them light`,
    found: String(greys.length),
  })
}

function idField(fields: readonly string[]): number {
  for (const name of ['SAMPLE_ID', 'SAMPLE_NAME', 'SAMPLE_LOC', 'SAMPLEID']) {
    const at = fields.findIndex((field) => field.toUpperCase() === name)
    if (at >= 0) return at
  }
  return -1
}

/** The rows in patch order; every mistake in the names is told at once. */
function placed(
  { rows }: CgatsTable,
  id: number,
  label: string,
  { layout, nameOf, indexOf, expected, gaps }: Naming,
): (string[] | undefined)[] {
  const inOrder = new Array<string[] | undefined>(layout.patches.length).fill(undefined)
  const misnamed: string[] = []
  const doubled: string[] = []
  for (const row of rows) {
    const index = indexOf(row[id])
    if (index === undefined) misnamed.push(row[id])
    else if (inOrder[index]) doubled.push(row[id])
    else inOrder[index] = row
  }
  const missing = gaps ? [] : inOrder.flatMap((row, k) => (row ? [] : [nameOf(k)]))
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
  return inOrder
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
