import type { Measurement, OutputRecord } from '../runRecord.js'
import { formatNumber } from './formatNumber.js'

/** A length to the tenth of a millimetre. */
const mm = (value: number) => String(Math.round(value * 10) / 10)

/** Size on paper; a dash for what is no picture. */
export const sizeMm = ({ widthMm, heightMm }: Pick<OutputRecord, 'widthMm' | 'heightMm'>) =>
  widthMm === null || heightMm === null ? '–' : `${mm(widthMm)} × ${mm(heightMm)} mm`

/** Pixels; a dash for what is no picture. */
export const sizePx = ({ width, height }: Pick<OutputRecord, 'width' | 'height'>) =>
  width === null || height === null ? '–' : `${width} × ${height} px`

/** A number with its unit; a unit that the name ends with already is not said again. */
export function valueWords({ name, value, unit }: Pick<Measurement, 'name' | 'value' | 'unit'>): string {
  const number = formatNumber(value)
  if (unit === '' || name.endsWith(` ${unit}`)) return number
  return unit === '0..1' ? `${number} of 1` : `${number} ${unit}`
}

export const counted = (count: number, noun: string) => `${count} ${noun}${count === 1 ? '' : 's'}`
