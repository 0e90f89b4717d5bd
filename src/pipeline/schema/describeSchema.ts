import { z } from 'zod'
import { choicesOf, definition, keysOf, metaOf, type Schema, unwrapped } from './walk.js'

/** What a schema expects, in words that follow "expected". */
export function describeSchema(schema: Schema): string {
  const open = unwrapped(schema)
  const { path, quantity } = metaOf(open)
  if (path) return 'a path'
  if (quantity === 'length') return 'a length with its unit, such as 15mm, 1.5cm, 0.5in or 40px'
  if (quantity === 'percent') return 'a percentage with its sign, such as 90%'
  const { type, options, element, items } = definition(open)
  switch (type) {
    case 'string':
      return 'a text'
    case 'boolean':
      return 'true or false'
    case 'number':
      return numberWords(open, quantity === 'ppi' ? 'pixels per inch' : 'number')
    case 'enum':
    case 'literal': {
      const choices = choicesOf(open)!.map(String)
      return choices.length === 1 ? choices[0] : `one of ${choices.join(', ')}`
    }
    case 'array':
      return `a list, each entry ${describeSchema(element!)}`
    case 'tuple':
      return `a list of ${items!.length}`
    case 'object': {
      const keys = keysOf(open)
      return keys?.length ? `the keys ${keys.join(', ')}` : 'a mapping'
    }
    case 'record':
      return 'a mapping'
    case 'union':
      return [...new Set(options!.map(describeSchema))].join(', or ')
    default:
      return 'another value'
  }
}

/** `a number from 0 to 1`, `a whole number of at least 1`. */
function numberWords(schema: Schema, noun: string): string {
  const { type, ...limit } = z.toJSONSchema(schema, { io: 'input' })
  const what = noun === 'number' ? `a ${type === 'integer' ? 'whole ' : ''}number` : noun
  const { minimum: min, maximum: max, exclusiveMinimum: above, exclusiveMaximum: below } = limit
  const bounded = (n: unknown) => typeof n === 'number' && Math.abs(n) < Number.MAX_SAFE_INTEGER
  if (bounded(min) && bounded(max)) return `${what} from ${min} to ${max}`
  const limits = [
    bounded(above) ? `above ${above}` : bounded(min) ? `of at least ${min}` : '',
    bounded(below) ? `below ${below}` : bounded(max) ? `of at most ${max}` : '',
  ].filter(Boolean)
  return limits.length ? `${what} ${limits.join(' and ')}` : what
}
