import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { haveReal, measured, real, runReal } from './realRun.js'

/**
 * Four hand-held photographs of a 24-patch chart, one lying the other way up, untagged (they were sRGB), and the
 * maker's CIELAB values for the type, not measured on this chart; letter = column A..F, number = row 1..4.
 * JTvD/arcu at 0a1db96, MIT.
 */
const PHOTOS = [1, 2, 3, 4].map((i) => `charts/chart24-photo-0${i}.jpg`)
const REFERENCE = 'charts/chart24-reference-lab.csv'

describe.skipIf(!haveReal('Photographs of a chart', ...PHOTOS, REFERENCE))(
  'a real photograph of a chart',
  () => {
    it.each(PHOTOS)('%s is found and corrects itself', async (photo) => {
      const file = JSON.stringify(real(photo))
      const { record, report } = await runReal(
        `captures: { kind: camera, files: [${file}] }
steps:
  - colour: { chart: ${file}, reference: chart.txt }
`,
        { 'chart.txt': asCgats(readFileSync(real(REFERENCE), 'utf8')) },
      )
      const dE = (name: string) => measured(record, 'colour', `${name} dE2000`)
      // Hand-held, no flat field, the type's values instead of this chart's: a few dE2000 are what such a capture allows.
      expect(dE('mean')).toBeLessThan(measured(record, 'colour', 'mean dE2000 before'))
      expect(dE('mean')).toBeLessThan(5)
      expect(dE('left-out mean')).toBeGreaterThanOrEqual(dE('mean'))
      expect(dE('left-out mean')).toBeLessThan(7)
      expect(dE('left-out max')).toBeGreaterThanOrEqual(dE('max'))
      for (const name of ['mean', 'left-out mean']) expect(report).toContain(`${name} dE2000`)
      // The chart and its reference belong to the record, for a run in two years.
      expect(record.inputs.map(({ use }) => use)).toEqual(['capture', 'colour.chart', 'colour.reference'])
      const said = record.warnings.map(({ step, message }) => `${step}: ${message}`).join('\n')
      expect(said).toMatch(/captures: .*carries no profile.*taken as sRGB/)
      expect(said).toMatch(/colour: .*unevenly lit/)
      expect(said).toMatch(/master: .*sizes on paper are a guess/)
    })
  },
)

/** The CSV (id, square, L*, a*, b*) as CGATS text (ISO 28178). */
function asCgats(csv: string): string {
  const rows = csv.trim().split(/\r?\n/).slice(1)
  return [
    'CGATS.17',
    'DESCRIPTOR "24-patch chart, the maker\'s values for the type"',
    'NUMBER_OF_FIELDS 4',
    'BEGIN_DATA_FORMAT',
    'SAMPLE_ID LAB_L LAB_A LAB_B',
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows.map((row) => row.split(',').slice(1).join(' ')),
    'END_DATA',
    '',
  ].join('\n')
}
