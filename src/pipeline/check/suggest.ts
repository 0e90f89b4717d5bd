import { choicesOf, definition, metaOf, type Schema, unwrapped } from '../schema/walk.js'
import { bare, nearest } from '../text/nearest.js'

const UNITS: Record<string, string> = {
  mm: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  cm: 'cm',
  centimetre: 'cm',
  centimetres: 'cm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  px: 'px',
  pixel: 'px',
  pixels: 'px',
}
const TRUTH: Record<string, string> = {
  yes: 'true',
  on: 'true',
  y: 'true',
  no: 'false',
  off: 'false',
  n: 'false',
  none: 'false',
}

/** The valid spelling a wrong value was most likely meant for, or undefined. */
export function suggest(schema: Schema, value: unknown): string | undefined {
  const open = unwrapped(schema)
  const { type, options, element } = definition(open)
  const choices = choicesOf(open)?.filter((choice) => typeof choice === 'string')
  if (typeof value === 'string' && choices) {
    const near = nearest(value, choices)
    if (near !== undefined) return near
  }
  if (type === 'union')
    return options!.map((option) => suggest(option, value)).find((near) => near !== undefined)
  if (type === 'array' && ['string', 'number'].includes(typeof value) && accepts(element!, value))
    return `[${value}]`
  if (typeof value !== 'string' && typeof value !== 'number') return undefined
  const [, digits, tail] = /^\s*([+-]?[\d.,]+)\s*(.*?)\s*$/.exec(String(value)) ?? []
  const number = digits?.replace(',', '.')
  switch (metaOf(open).quantity ?? type) {
    case 'length': {
      if (!number || Number.isNaN(Number(number))) return undefined
      const unit = tail ? (UNITS[tail.toLowerCase()] ?? nearest(tail, ['mm', 'cm', 'in', 'px'])) : 'mm'
      return unit && `${number}${unit}`
    }
    case 'percent':
      return number && !tail && !Number.isNaN(Number(number)) ? `${number}%` : undefined
    case 'ppi':
    case 'number': {
      if (!number || Number.isNaN(Number(number)) || typeof value === 'number') return undefined
      const plainNumber = tail === '%' ? String(Number(number) / 100) : number
      return (open as { safeParse?(v: unknown): { success: boolean } }).safeParse?.(Number(plainNumber))
        .success
        ? plainNumber
        : undefined
    }
    case 'boolean':
      return TRUTH[bare(String(value))]
    case 'string':
      return typeof value === 'number' && !metaOf(open).path && accepts(open, String(value))
        ? `"${value}"`
        : undefined
    default:
      return undefined
  }
}

function accepts(schema: Schema, value: unknown): boolean {
  return (schema as unknown as { safeParse(v: unknown): { success: boolean } }).safeParse(value).success
}
