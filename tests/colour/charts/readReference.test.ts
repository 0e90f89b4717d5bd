import { describe, expect, it } from 'vitest'
import { parseCgats } from '../../../src/colour/charts/cgats/parseCgats.js'
import { readReference } from '../../../src/colour/charts/cgats/readReference.js'
import { chart24Position } from '../../../src/colour/charts/chart24.js'
import { CHART24_2005 } from '../../../src/colour/charts/sets/chart24Of2005.js'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { labToXyzD50 } from '../../../src/colour/lab.js'
import { RequestError } from '../../../src/errors.js'
import { OHTA_1997 } from '../../published/chart24Spectra.js'

const LABS = CHART24_2014.labD50

function cgats(fields: string[], rows: (string | number)[][], head = ''): string {
  return [
    'CGATS.17',
    'ORIGINATOR "Studio"',
    'DESCRIPTOR "Our chart" # measured in spring',
    head,
    `NUMBER_OF_FIELDS ${fields.length}`,
    'BEGIN_DATA_FORMAT',
    fields.join('\t'),
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows.map((row) => row.join(' ')),
    'END_DATA',
    '',
  ].join('\r\n')
}

const labFile = (ids: readonly (string | number)[]) =>
  cgats(
    ['SAMPLE_ID', 'LAB_L', 'LAB_A', 'LAB_B'],
    ids.map((id, k) => [id, ...LABS[k]]),
  )
const NUMBERS = LABS.map((_, k) => k + 1)

function closeTo(
  found: readonly (readonly number[])[],
  wanted: readonly (readonly number[])[],
  digits: number,
) {
  found.forEach((lab, k) => {
    lab.forEach((value, c) => {
      expect(value, `patch ${k + 1}`).toBeCloseTo(wanted[k][c], digits)
    })
  })
}

function problemsOf(text: string): string {
  try {
    readReference(text, 'own.txt')
  } catch (error) {
    expect(error).toBeInstanceOf(RequestError)
    return (error as Error).message
  }
  throw new Error('no error was thrown')
}

describe('readReference', () => {
  it('reads Lab by number, in whatever order the rows stand', () => {
    const rows = LABS.map((lab, k) => [k + 1, ...lab]).reverse()
    const reference = readReference(cgats(['SAMPLE_ID', 'LAB_L', 'LAB_A', 'LAB_B'], rows), '/studio/own.txt')
    expect(reference.labD50).toEqual(LABS)
    expect(reference.name).toBe('own.txt')
    expect(reference.source).toBe('Studio, Our chart')
  })

  it('reads A1..F4 with the letter as the column', () => {
    expect(readReference(labFile(LABS.map((_, k) => chart24Position(k))), 'own.txt').labD50).toEqual(LABS)
  })

  it('reads XYZ on 0..100 and on 0..1 alike', () => {
    for (const scale of [100, 1]) {
      const rows = LABS.map((lab, k) => [k + 1, ...labToXyzD50([...lab]).map((v) => v * scale)])
      closeTo(readReference(cgats(['SAMPLE_ID', 'XYZ_X', 'XYZ_Y', 'XYZ_Z'], rows), 'own.txt').labD50, LABS, 8)
    }
  })

  it.each([
    ['SPEC_', 100],
    ['nm', 1],
    ['SPECTRAL_NM', 100],
  ])('reads spectra in columns %s… on 0..%i alike', (prefix, scale) => {
    const bands = OHTA_1997[0].map((_, i) => 380 + 5 * i)
    const fields = ['SAMPLE_ID', ...bands.map((nm) => `${prefix}${nm}`)]
    const rows = OHTA_1997.map((row, k) => [k + 1, ...row.map((v) => v * scale)])
    const { labD50 } = readReference(cgats(fields, rows), 'own.txt')
    // The spectra are of another chart: as near the published values as two editions of the chart are (1.95 at most).
    const differences = labD50.map((lab, k) => deltaE2000([...lab], [...CHART24_2005.labD50[k]]))
    expect(Math.max(...differences)).toBeLessThan(1.95)
    // A perfect diffuser is white exactly.
    const white = readReference(
      cgats(
        fields,
        rows.map((row, k) => (k === 18 ? [19, ...bands.map(() => scale)] : row)),
      ),
      'own.txt',
    )
    closeTo([white.labD50[18]], [[100, 0, 0]], 8)
  })

  it('names missing, doubled and misnamed patches all at once', () => {
    const ids: (string | number)[] = [...NUMBERS]
    ids[4] = 4
    ids[9] = 'G7'
    const message = problemsOf(labFile(ids))
    expect(message).toContain('names that the chart has not (expected each of 1..24')
    expect(message).toContain('found G7')
    expect(message).toContain('stand there twice')
    expect(message).toContain('found 4)')
    expect(message).toContain('found 5 (E1), 10 (D2)')
  })

  it('refuses a chart numbered the other way up', () => {
    expect(problemsOf(labFile([...NUMBERS].reverse()))).toContain('patch 19 (A4) is not the white one')
  })

  it('refuses files without colour, without names, without data, cut short, or no numbers', () => {
    expect(
      problemsOf(
        cgats(
          ['SAMPLE_ID', 'CMYK_C'],
          NUMBERS.map((k) => [k, 0]),
        ),
      ),
    ).toContain('no colour')
    expect(
      problemsOf(
        cgats(
          ['LAB_L', 'LAB_A', 'LAB_B'],
          LABS.map((lab) => [...lab]),
        ),
      ),
    ).toContain('names the patches')
    expect(problemsOf('CGATS.17\nORIGINATOR "x"\n')).toContain('no data block')
    expect(problemsOf(labFile(NUMBERS).replace('END_DATA\r\n', ''))).toContain('does not end')
    expect(problemsOf(labFile(NUMBERS).replace('NUMBER_OF_SETS 24', 'NUMBER_OF_SETS 30'))).toContain(
      '30 rows of data',
    )
    expect(problemsOf(labFile(NUMBERS).replace('37.54', 'n/a'))).toContain('LAB_L is no number (found n/a)')
    expect(problemsOf(labFile(NUMBERS).replace('37.54', '375.4'))).toContain('out of range')
    expect(problemsOf('')).toContain('no data block')
  })

  it('points to the line where a row does not match the format', () => {
    const text = labFile(NUMBERS).replace('37.54 14.37 14.92', '37.54 14.37')
    expect(problemsOf(text)).toMatch(/own\.txt:11: a row of data does not match/)
  })
})

describe('parseCgats', () => {
  it('reads several tables, quoted strings with blanks, comments and private keywords', () => {
    const one = cgats(
      ['SAMPLE_NAME', 'LAB_L'],
      [['"dark skin"', 37]],
      'KEYWORD "LAMP"\nLAMP "D50" # simulated',
    )
    const [first, second] = parseCgats(one + cgats(['SAMPLE_ID'], [[1], [2]]), 'two.txt')
    expect(first.rows).toEqual([['dark skin', '37']])
    expect(first.keywords.get('LAMP')).toBe('D50')
    expect(second.rows).toEqual([['1'], ['2']])
  })

  it('refuses values for another light than D50', () => {
    // The perfect diffuser under D65 (CIE 15:2018): XYZ 95.05 100 108.9; every patch scaled by it instead of by D50's.
    const d65 = LABS.map((lab) => labToXyzD50([...lab])).map(([x, y, z]) => [
      (100 * x * 0.9505) / 0.9642,
      100 * y,
      (100 * z * 1.089) / 0.8249,
    ])
    const rows = d65.map((xyz, k) => [k + 1, ...xyz])
    expect(problemsOf(cgats(['SAMPLE_ID', 'XYZ_X', 'XYZ_Y', 'XYZ_Z'], rows))).toContain(
      'another light than D50',
    )
    const said = cgats(
      ['SAMPLE_ID', 'LAB_L', 'LAB_A', 'LAB_B'],
      LABS.map((lab, k) => [k + 1, ...lab]),
      'WEIGHTING_FUNCTION "ILLUMINANT, D65"',
    )
    expect(problemsOf(said)).toContain('another light than D50')
    expect(readReference(said.replace('D65', 'D50'), 'own.txt').labD50).toHaveLength(24)
  })
})
