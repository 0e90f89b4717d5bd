import type { z } from 'zod'
import type { Problem } from '../../errors.js'
import { describeSchema } from '../schema/describeSchema.js'
import { childSchema, definition, meantFor, type Schema, unwrapped } from '../schema/walk.js'
import { child, type KeyPath, type Node, plain, valuePlaceAt } from '../text/Node.js'
import { where } from '../text/Place.js'
import { describeFound } from './describeFound.js'
import { suggest } from './suggest.js'
import { toInput, type WrittenPath } from './toInput.js'

/** `value` is there only where there are no problems; the paths always. */
export interface Checked<T> {
  value?: T
  problems: Problem[]
  paths: WrittenPath[]
}

/**
 * Checks a tree against a schema and reports every mistake in it at once.
 * @param schema what is expected; its output is returned
 * @param node the tree
 * @param path the tree's place in the whole pipeline, for messages: `['steps', 1, 'colour']`
 */
export function checkAgainst<T>(schema: z.ZodType<T>, node: Node, path: KeyPath): Checked<T> {
  const { value, problems, meant, paths } = toInput(schema, node, path)
  const result = schema.safeParse(value)
  if (result.success && problems.length === 0) return { value: result.data, problems, paths }
  for (const issue of (result.error?.issues ?? []).flatMap((one) => insideAlternatives(schema, value, one))) {
    const inside = issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key))
    if (!meant.has([...path, ...inside].join('.')))
      problems.push(problemOf(schema, node, path, inside, issue))
  }
  return { problems, paths }
}

/**
 * Where several alternatives are allowed and a mapping or list is given, the mistakes of the one it was meant for;
 * a single value that fits none stays one mistake, told with all the alternatives.
 */
function insideAlternatives(schema: Schema, input: unknown, issue: z.core.$ZodIssue): z.core.$ZodIssue[] {
  if (issue.code !== 'invalid_union') return [issue]
  let at: Schema = schema
  let value = input
  for (const key of issue.path as (string | number)[]) {
    const next = childSchema(meantFor(at, value), key)
    if (!next) return [issue]
    at = next
    value = (value as Record<string | number, unknown> | undefined)?.[key]
  }
  const option = meantFor(at, value)
  if (typeof value !== 'object' || definition(option).type === 'union') return [issue]
  const inner = (option as z.ZodType).safeParse(value).error?.issues ?? [issue]
  return inner.flatMap((one) =>
    insideAlternatives(option, value, one).map((each) => ({ ...each, path: [...issue.path, ...each.path] })),
  )
}

/** Zod's own messages all start with one of these; whatever does not was worded by the schema's author. */
const OWN_WORDS = /^(Invalid|Too small|Too big|Unrecognized|expected )/

function problemOf(
  schema: Schema,
  root: Node,
  path: KeyPath,
  inside: KeyPath,
  issue: z.core.$ZodIssue,
): Problem {
  const { parent, at, node } = descend(schema, root, inside)
  const key = [...path, ...inside].join('.')
  const missing = node === undefined
  const place = where(valuePlaceAt(root, inside))
  const worded = !OWN_WORDS.test(issue.message)
  if (issue.code === 'unrecognized_keys') {
    return { where: place, what: `${key}: unknown key ${issue.keys.join(', ')}` }
  }
  if (missing && inside.length > 0 && parent) {
    const expected = expectedBy(issue, at)
    return { where: place, what: `${key}: missing`, expected, todo: worded ? issue.message : undefined }
  }
  if (worded)
    return {
      where: place,
      what: `${key}: ${issue.message.replace(/\.$/, '')}`,
      found: node?.kind === 'scalar' ? describeFound(node) : undefined,
    }
  const value = node && plain(node)
  const near = at && suggest(at, value)
  return {
    where: place,
    what: `${key}: ${sortOfMistake(issue, at, value)}`,
    expected: expectedBy(issue, at),
    found: describeFound(node),
    todo: near === undefined ? undefined : `Nearest spelling: ${near}`,
  }
}

/** The schema and the node at a path of keys, and the schema above it. */
function descend(schema: Schema, root: Node, inside: KeyPath) {
  let at: Schema | undefined = meantFor(schema, plain(root))
  let parent: Schema | undefined
  let node: Node | undefined = root
  for (const key of inside) {
    parent = at
    at = at && childSchema(at, key)
    node = child(node, key)
    if (node?.kind === 'scalar' && node.value === null) node = undefined
    if (at) at = node && node.kind !== 'scalar' ? meantFor(at, plain(node)) : unwrapped(at)
  }
  return { parent, at, node }
}

function expectedBy(issue: z.core.$ZodIssue, at: Schema | undefined): string | undefined {
  const words = (at && wordsForAlternatives(at)) ?? issue.message
  if (words.startsWith('expected ')) return words.slice('expected '.length).split(', found')[0]
  if (issue.code === 'too_small' && ['array', 'string', 'set'].includes(issue.origin)) {
    return `at least ${issue.minimum} ${issue.origin === 'array' ? 'entries' : 'letters'}`.replace(
      '1 entries',
      'one entry',
    )
  }
  if (issue.code === 'too_big' && ['array', 'string', 'set'].includes(issue.origin)) {
    return `at most ${issue.maximum} ${issue.origin === 'array' ? 'entries' : 'letters'}`
  }
  if (issue.code === 'not_multiple_of') return `a multiple of ${issue.divisor}`
  return at && describeSchema(at)
}

/** What the author of a choice between alternatives says is expected; zod tells it only where none of them comes close. */
function wordsForAlternatives(schema: Schema): string | undefined {
  const { type, error } = definition(schema) as { type: string; error?: z.core.$ZodErrorMap }
  if (type !== 'union' || !error) return undefined
  const said = error({ code: 'invalid_union', errors: [], input: undefined, path: [] })
  return typeof said === 'string' ? said : said?.message
}

function sortOfMistake(issue: z.core.$ZodIssue, at: Schema | undefined, value: unknown): string {
  const quantity = at && (unwrapped(at) as z.ZodType).meta?.()?.quantity
  if (quantity === 'length' && typeof value === 'number') return 'a length without its unit'
  if (quantity === 'percent' && typeof value === 'number') return 'a percentage without its sign'
  switch (issue.code) {
    case 'too_small':
    case 'too_big':
      return issue.origin === 'array' ? 'wrong number of entries' : 'out of range'
    case 'invalid_value':
      return 'unknown value'
    case 'invalid_format':
      return quantity === 'length'
        ? 'not a length'
        : quantity === 'percent'
          ? 'not a percentage'
          : 'wrong form'
    case 'custom':
      return 'not accepted'
    case 'invalid_union':
      return at && definition(at).type === 'union' && typeof value === 'string'
        ? 'unknown value'
        : 'wrong type'
    default:
      return 'wrong type'
  }
}
