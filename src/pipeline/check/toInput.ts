import { resolve } from 'node:path'
import type { z } from 'zod'
import type { Problem } from '../../errors.js'
import { childSchema, choicesOf, definition, keysOf, meantFor, metaOf, type Schema } from '../schema/walk.js'
import { isBlank, type KeyPath, type Node, plain } from '../text/Node.js'
import { bare, nearest } from '../text/nearest.js'
import { type Place, where } from '../text/Place.js'

export interface Input {
  value: unknown
  problems: Problem[]
  /** Paths (joined by points) of the valid keys that unknown ones were most likely meant for. */
  meant: Set<string>
  /** The paths found, absolute. */
  paths: WrittenPath[]
}

/** A path as the pipeline names it. */
export interface WrittenPath {
  path: string
  keys: KeyPath
  place: Place
  /** The word it was most likely meant for, where a word may stand in the path's place. */
  near?: string
}

/**
 * The plain value of a tree as its schema takes it: paths made absolute from where they were written, words chosen
 * from a list brought to their spelling (case, hyphens and blanks do not matter), blank keys and unknown keys left out.
 * Unknown keys are returned as mistakes with the nearest valid key.
 */
export function toInput(schema: Schema, node: Node, path: KeyPath): Input {
  const problems: Problem[] = []
  const meant = new Set<string>()
  const paths: WrittenPath[] = []
  const convert = (outer: Schema, at: Node, here: KeyPath): unknown => {
    const inner = meantFor(outer, plain(at))
    const { type } = definition(inner)
    if (at.kind === 'list') {
      if (type !== 'array' && type !== 'tuple') return plain(at)
      return at.items.map((item, i) => convertChild(childSchema(inner, i), item, [...here, i]))
    }
    if (at.kind === 'map') {
      if (type !== 'object' && type !== 'record') return plain(at)
      return convertMap(inner, at, here)
    }
    if (typeof at.value !== 'string') return at.value
    const text = at.value
    // A text that cannot be a path here, such as a word misspelt, is left for the schema to refuse.
    if (metaOf(inner).path && (inner as z.ZodType).safeParse(text).success) {
      const path = resolve(at.place.folder, text)
      const words = choicesOf(outer)?.filter((choice) => typeof choice === 'string')
      paths.push({ path, keys: here, place: at.place, near: words && nearest(text, words) })
      return path
    }
    const choices = choicesOf(inner)?.filter((choice) => typeof choice === 'string')
    return choices?.includes(text) ? text : (choices?.find((choice) => bare(choice) === bare(text)) ?? text)
  }
  const convertChild = (schemaOfChild: Schema | undefined, at: Node, here: KeyPath) =>
    schemaOfChild ? convert(schemaOfChild, at, here) : plain(at)
  const convertMap = (inner: Schema, at: Node & { kind: 'map' }, here: KeyPath) => {
    const valid = keysOf(inner)
    const given: [string, unknown][] = []
    for (const [key, { node: value, keyPlace, written }] of at.entries) {
      const schemaOfChild = childSchema(inner, key)
      if (!schemaOfChild) {
        const free = valid?.filter((one) => !at.entries.has(one)) ?? []
        const missing = nearest(key, free)
        if (missing) meant.add([...here, missing].join('.'))
        const near = missing ?? nearest(key, valid ?? [])
        problems.push({
          where: where(keyPlace),
          what: `${[...here, written].join('.')}: unknown key`,
          expected: valid?.length ? `one of ${valid.join(', ')}` : 'no keys at all here',
          todo: near && `Nearest spelling: ${near}`,
        })
      } else if (!isBlank(value)) {
        given.push([key, convert(schemaOfChild, value, [...here, key])])
      }
    }
    return Object.fromEntries(given)
  }
  return { value: convert(schema, node, path), problems, meant, paths }
}
