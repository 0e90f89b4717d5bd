import { RequestError } from '../../../errors.js'
import { xyzD50ToLab } from '../../lab.js'
import { spectrumToXyzD50 } from '../spectral/spectrumToXyzD50.js'
import type { CgatsTable } from './parseCgats.js'

type Triple = [number, number, number]

/**
 * How a row's numbers become CIELAB D50: Lab as it stands, else XYZ, else spectra integrated for D50 and 2 degrees.
 * XYZ on 0..100 (ISO 28178) and on 0..1, and reflectance in percent and as 0..1, are told apart by the largest value
 * of the table.
 * @throws RequestError where the table has none of them or a number is none
 */
export function colourOfRow(table: CgatsTable, label: string): (row: string[]) => Triple {
  const { fields, rows } = table
  const at = (name: string) => fields.findIndex((field) => field.toUpperCase() === name)
  const lab = ['LAB_L', 'LAB_A', 'LAB_B'].map(at)
  const xyz = ['XYZ_X', 'XYZ_Y', 'XYZ_Z'].map(at)
  const bands = fields
    .map((field, index) => ({ nm: Number(BAND.exec(field)?.[1] ?? Number.NaN), index }))
    .filter(({ nm }) => nm >= 300 && nm <= 900)
    .sort((a, b) => a.nm - b.nm)
  const numbers = (row: string[], columns: readonly number[]) =>
    columns.map((column) => numberOf(row[column], fields[column], label))
  if (lab.every((column) => column >= 0)) return (row) => checkedLab(numbers(row, lab) as Triple, label)
  if (xyz.every((column) => column >= 0)) {
    const scale = scaleOf(rows.map((row) => numbers(row, xyz)[1]))
    return (row) => xyzD50ToLab(numbers(row, xyz).map((v) => v / scale) as Triple)
  }
  if (bands.length >= 16) {
    checkRange(bands[0].nm, bands[bands.length - 1].nm, label)
    const columns = bands.map(({ index }) => index)
    const wavelengthsNm = bands.map(({ nm }) => nm)
    const scale = scaleOf(rows.flatMap((row) => numbers(row, columns)))
    return (row) =>
      xyzD50ToLab(
        spectrumToXyzD50(
          wavelengthsNm,
          numbers(row, columns).map((v) => v / scale),
        ),
      )
  }
  throw new RequestError({
    where: label,
    what: 'the data hold no colour that can be used',
    expected: 'fields LAB_L LAB_A LAB_B, or XYZ_X XYZ_Y XYZ_Z, or spectral bands such as SPEC_380 or nm380',
    found: fields.join(' '),
  })
}

/** `SPEC_380`, `nm380`, `SPECTRAL_NM380`, `R_380`, `380`. */
const BAND = /^(?:SPECTRAL_NM_?|SPECTRAL_?|SPEC_?|NM_?|R_?)?(\d{3})(?:NM)?$/i

/** 1 where the numbers are shares, 100 where they are percent: no patch is darker than 1.5 % at its lightest. */
const scaleOf = (values: readonly number[]) => (values.reduce((a, b) => Math.max(a, b)) > 1.5 ? 100 : 1)

function numberOf(word: string, field: string, label: string): number {
  const value = Number(word.replace(',', '.'))
  if (Number.isFinite(value) && word !== '') return value
  throw new RequestError({ where: label, what: `${field} is no number`, found: word })
}

function checkedLab(lab: Triple, label: string): Triple {
  if (lab[0] >= 0 && lab[0] <= 101 && Math.abs(lab[1]) < 130 && Math.abs(lab[2]) < 130) return lab
  throw new RequestError({
    where: label,
    what: 'a Lab value is out of range',
    expected: 'L* 0..100, a* and b* within 130 of zero',
    found: lab.join(' '),
  })
}

function checkRange(first: number, last: number, label: string): void {
  if (first <= 420 && last >= 680) return
  throw new RequestError({
    where: label,
    what: 'the spectra do not span the light that is seen',
    expected: 'bands from 420 nm or below to 680 nm or above',
    found: `${first} to ${last} nm`,
  })
}
