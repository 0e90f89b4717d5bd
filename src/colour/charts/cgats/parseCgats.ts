import { RequestError } from '../../../errors.js'

/** A table of an ISO 28178 (CGATS) text: keywords, field names, and one row of words a set. */
export interface CgatsTable {
  keywords: ReadonlyMap<string, string>
  fields: string[]
  rows: string[][]
}

/**
 * Reads the ASCII form of ISO 28178 (CGATS.17), also the older ANSI CGATS.5 and IT8.7 files: keyword lines, a format
 * block, a data block; `#` starts a comment; strings in double quotes; a file may hold several tables.
 * @param label the file, for messages
 * @throws RequestError where a block is missing or a row's length differs from the format's
 */
export function parseCgats(text: string, label: string): CgatsTable[] {
  const tables: CgatsTable[] = []
  let keywords = new Map<string, string>()
  let fields: string[] = []
  let rows: string[][] = []
  let block: 'none' | 'format' | 'data' = 'none'
  text.split(/\r\n|\r|\n/).forEach((line, index) => {
    const words = wordsOf(line)
    if (words.length === 0) return
    const [first, ...rest] = words
    const where = `${label}:${index + 1}`
    if (first === 'BEGIN_DATA_FORMAT') block = 'format'
    else if (first === 'BEGIN_DATA') block = 'data'
    else if (first === 'END_DATA_FORMAT') block = 'none'
    else if (first === 'END_DATA') {
      block = 'none'
      tables.push({ keywords, fields, rows })
      checkCount(where, keywords, 'NUMBER_OF_SETS', rows.length, 'rows of data')
      checkCount(where, keywords, 'NUMBER_OF_FIELDS', fields.length, 'fields in the format')
      keywords = new Map()
      fields = []
      rows = []
    } else if (block === 'format') fields.push(...words)
    else if (block === 'data') {
      if (words.length !== fields.length) {
        throw new RequestError({
          where,
          what: 'a row of data does not match the format',
          expected: `${fields.length} values (${fields.join(' ')})`,
          found: `${words.length}`,
        })
      }
      rows.push(words)
    } else keywords.set(first, rest.join(' '))
  })
  if (block !== 'none' || tables.length === 0) {
    throw new RequestError({
      where: label,
      what: block === 'none' ? 'the file holds no data block' : 'the data block does not end',
      expected:
        'an ISO 28178 (CGATS) text with BEGIN_DATA_FORMAT … END_DATA_FORMAT and BEGIN_DATA … END_DATA',
    })
  }
  return tables
}

/** The words of a line without its comment; a quoted string is one word. */
function wordsOf(line: string): string[] {
  const words: string[] = []
  for (const [, quoted, plain] of line.matchAll(/"([^"]*)"|#.*$|([^\s"#]+)/g)) {
    if (quoted !== undefined) words.push(quoted)
    else if (plain !== undefined) words.push(plain)
  }
  return words
}

function checkCount(
  where: string,
  keywords: ReadonlyMap<string, string>,
  keyword: string,
  found: number,
  of: string,
): void {
  const stated = keywords.get(keyword)
  if (stated === undefined || Number(stated) === found) return
  throw new RequestError({
    where,
    what: `${keyword} does not match the file`,
    expected: `${stated} ${of}`,
    found: String(found),
    todo: 'The file was cut or edited; take it from its maker again',
  })
}
