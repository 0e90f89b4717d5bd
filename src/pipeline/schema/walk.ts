import type { z } from 'zod'
import type { Quantity } from '../../units.js'
import { bare } from '../text/nearest.js'

export type Schema = z.core.$ZodType

/** What zod keeps of a schema, as far as the pipeline looks into it. */
interface Definition {
  type: string
  innerType?: Schema
  in?: Schema
  out?: Schema
  options?: Schema[]
  shape?: Record<string, Schema>
  catchall?: Schema
  element?: Schema
  items?: Schema[]
  rest?: Schema | null
  valueType?: Schema
  entries?: Record<string, string | number>
  values?: unknown[]
  getter?: () => Schema
  left?: Schema
  right?: Schema
}

const WRAPPERS = new Set(['optional', 'nullable', 'default', 'prefault', 'readonly', 'catch', 'nonoptional'])

export function definition(schema: Schema): Definition {
  return schema._zod.def as unknown as Definition
}

/** The schema of what a person writes: without wrappers, and before any transform. */
export function unwrapped(schema: Schema): Schema {
  const def = definition(schema)
  if (WRAPPERS.has(def.type)) return unwrapped(def.innerType!)
  if (def.type === 'lazy') return unwrapped(def.getter!())
  if (def.type === 'pipe') return unwrapped(definition(def.in!).type === 'transform' ? def.out! : def.in!)
  return schema
}

/**
 * The schema that a value is meant for: unwrapped, and of alternatives the one the value fits, else the one of the
 * value's type with the fewest mistakes; the alternatives themselves where none is of its type.
 */
export function meantFor(schema: Schema, value: unknown): Schema {
  const open = unwrapped(schema)
  const { type, options } = definition(open)
  if (type !== 'union') return open
  const scored = options!
    .map((option) => meantFor(option, value))
    .filter((option) => ofType(option, value))
    .map((option) => ({ option, mistakes: isChoice(option, value) ? -1 : mistakes(option, value) }))
    .sort((p, q) => p.mistakes - q.mistakes)
  // Alternatives of one type that all fail, such as a name or a path, are told together.
  if (scored.length > 1 && scored[0].mistakes > 0 && typeof value !== 'object') return open
  return scored[0]?.option ?? open
}

/** True where the value is one of a list of words, spelled in any case: then it is not the path of that name. */
function isChoice(option: Schema, value: unknown): boolean {
  return (
    typeof value === 'string' && !!choicesOf(option)?.some((choice) => bare(String(choice)) === bare(value))
  )
}

function mistakes(schema: Schema, value: unknown): number {
  const result = (schema as z.ZodType).safeParse(value)
  return result.success ? 0 : result.error.issues.length
}

/** True where a value is of the type that a schema starts from, right or wrong otherwise. */
export function ofType(schema: Schema, value: unknown): boolean {
  const { type, values, entries } = definition(schema)
  switch (type) {
    case 'object':
    case 'record':
      return typeof value === 'object' && value !== null && !Array.isArray(value)
    case 'array':
    case 'tuple':
      return Array.isArray(value)
    case 'enum':
      return Object.values(entries!).some((one) => typeof one === typeof value)
    case 'literal':
      return values!.some((one) => typeof one === typeof value)
    case 'union':
    case 'any':
    case 'unknown':
      return true
    default:
      return typeof value === type
  }
}

/** The keys a mapping may have, or undefined where it may have any. */
export function keysOf(schema: Schema): string[] | undefined {
  const { type, shape, catchall } = definition(schema)
  if (type !== 'object' || (catchall && definition(catchall).type !== 'never')) return undefined
  return Object.keys(shape!)
}

/** The schema of a child of a mapping or list, or undefined where it may have no such child. */
export function childSchema(schema: Schema, key: string | number): Schema | undefined {
  const { shape, catchall, element, items, rest, valueType } = definition(schema)
  if (shape) {
    if (Object.hasOwn(shape, String(key))) return shape[key]
    return catchall && definition(catchall).type !== 'never' ? catchall : undefined
  }
  return element ?? items?.[Number(key)] ?? rest ?? valueType
}

/** The words or numbers a value is chosen from, or undefined where it is not chosen from a list. */
export function choicesOf(schema: Schema): (string | number | boolean)[] | undefined {
  const { type, entries, values, options } = definition(unwrapped(schema))
  if (type === 'enum') return Object.values(entries!)
  if (type === 'literal') return values as (string | number | boolean)[]
  if (type === 'union') {
    const all = options!.flatMap((option) => choicesOf(option) ?? [])
    return all.length ? all : undefined
  }
  return undefined
}

export function metaOf(schema: Schema): { path?: boolean; quantity?: Quantity; description?: string } {
  return ((schema as z.ZodType).meta?.() ?? {}) as {
    path?: boolean
    quantity?: Quantity
    description?: string
  }
}
