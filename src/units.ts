import { z } from 'zod'

/** Millimetres in an inch, exactly (international yard and pound agreement, 1959). */
export const MM_PER_INCH = 25.4

/** A length with the unit it was written in. */
export interface Length {
  value: number
  unit: 'mm' | 'cm' | 'in' | 'px'
}

/** Millimetres of a length. `px` needs the resolution; throws a RangeError without it. */
export function toMm({ value, unit }: Length, ppi?: number): number {
  if (unit === 'mm') return value
  if (unit === 'cm') return value * 10
  if (unit === 'in') return value * MM_PER_INCH
  if (!ppi) throw new RangeError('a length in px has no millimetres without a resolution')
  return (value / ppi) * MM_PER_INCH
}

/** Pixels (not rounded) of a length at a resolution. `ppi` is needed unless the unit is `px`. */
export function toPx(length: Length, ppi: number): number {
  return length.unit === 'px' ? length.value : (toMm(length) / MM_PER_INCH) * ppi
}

const NUMBER = '[+-]?(?:\\d+(?:\\.\\d+)?|\\.\\d+)'
const LENGTH = new RegExp(`^(${NUMBER})\\s*(mm|cm|in|px)$`)
const PERCENT = new RegExp(`^(${NUMBER})\\s*%$`)

/** What a param measures, kept with its schema: messages and the editors' schema are worded from it. */
export type Quantity = 'length' | 'percent' | 'ppi'

const EXPECTED = {
  length: 'expected a length with its unit, such as 15mm, 1.5cm, 0.5in or 40px',
  percent: 'expected a percentage with its sign, such as 90%',
  ppi: 'expected pixels per inch, a number such as 300',
} as const satisfies Record<Quantity, string>

/** A length with its unit: `15mm`, `0.5in`. A bare number is refused with words that say so. */
export function length() {
  return z
    .string({ error: EXPECTED.length })
    .regex(LENGTH, { error: EXPECTED.length })
    .meta({ quantity: 'length' satisfies Quantity })
    .transform((text): Length => {
      const [, value, unit] = LENGTH.exec(text)!
      return { value: Number(value), unit: unit as Length['unit'] }
    })
}

/** A percentage with its sign: `150%`. Resolves to the share: 1.5. */
export function percent() {
  return z
    .string({ error: EXPECTED.percent })
    .regex(PERCENT, { error: EXPECTED.percent })
    .meta({ quantity: 'percent' satisfies Quantity })
    .transform((text) => Number(PERCENT.exec(text)![1]) / 100)
}

/** Pixels per inch, a bare positive number. */
export function ppi() {
  return z
    .number({ error: EXPECTED.ppi })
    .min(1, { error: 'expected pixels per inch of at least 1' })
    .max(20000, { error: 'expected pixels per inch of at most 20000' })
    .meta({ quantity: 'ppi' satisfies Quantity })
}

/** Marks a string param as a path; the pipeline makes it absolute, relative to the file it was written in. */
export function path() {
  return z
    .string({ error: 'expected a path' })
    .min(1, { error: 'expected a path, found nothing' })
    .meta({ path: true })
}
