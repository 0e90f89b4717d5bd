import {
  type Alias,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  parseDocument,
  type Node as YamlNode,
} from 'yaml'
import type { Problem } from '../../errors.js'
import type { MapNode, Node } from './Node.js'
import { type Place, where } from './Place.js'

/** A file that grows beyond this through anchors is not a pipeline. */
const MAX_NODES = 100_000

/**
 * Reads YAML into a tree with positions. Doubled keys are found here; `color` in a key is read as `colour`.
 * @param text YAML, one document
 * @param start the place of the text's first character; `line` 0 where there is no file to point into
 * @returns the tree (undefined where nothing is written) and all mistakes of spelling the YAML itself has
 */
export function parseText(text: string, start: Place): { node?: Node; problems: Problem[] } {
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: false })
  const placeAt = (offset: number): Place => {
    if (start.line === 0) return start
    const { line, col } = lines.linePos(offset)
    return { ...start, line, column: col }
  }
  const problems: Problem[] = [...document.errors, ...document.warnings].map((error) => ({
    where: where(placeAt(error.pos[0])),
    what: `the YAML cannot be read: ${plainWords(error.code, error.message)}`,
  }))
  if (problems.length > 0 || !document.contents) return { problems }

  let count = 0
  const open = new Set<unknown>()
  const convert = (node: YamlNode | null, fallback: Place): Node => {
    const place = node?.range ? placeAt(node.range[0]) : fallback
    const nothing: Node = { kind: 'scalar', value: null, place }
    if (++count > MAX_NODES) {
      if (count === MAX_NODES + 1)
        problems.push({ where: where(place), what: 'the file repeats itself beyond reason' })
      return nothing
    }
    if (isAlias(node)) return followAlias(node, place, nothing)
    if (isMap(node)) return convertMap(node.items as { key: YamlNode; value: YamlNode | null }[], place)
    if (isSeq(node)) {
      return { kind: 'list', items: node.items.map((item) => convert(item as YamlNode | null, place)), place }
    }
    const value = isScalar(node) ? node.value : null
    if (typeof value === 'bigint') return { kind: 'scalar', value: Number(value), place }
    return { kind: 'scalar', value: value as string | number | boolean | null, place }
  }
  const followAlias = (alias: Alias, place: Place, nothing: Node): Node => {
    const target = alias.resolve(document)
    if (!target || open.has(target)) {
      problems.push({
        where: where(place),
        what: `*${alias.source} stands for ${target ? 'itself' : 'nothing'}`,
      })
      return nothing
    }
    open.add(target)
    const node = convert(target, place)
    open.delete(target)
    return node
  }
  const convertMap = (items: { key: YamlNode; value: YamlNode | null }[], place: Place): MapNode => {
    const map: MapNode = { kind: 'map', entries: new Map(), place }
    for (const { key, value } of items) {
      const keyPlace = key?.range ? placeAt(key.range[0]) : place
      if (!isScalar(key)) {
        problems.push({
          where: where(keyPlace),
          what: 'a key must be a word',
          todo: 'Put a text before the colon',
        })
        continue
      }
      const written = String(key.value)
      const name = written.replaceAll('color', 'colour')
      const earlier = map.entries.get(name)
      if (earlier) {
        problems.push({
          where: where(keyPlace),
          what: `${written}: written twice in the same place, first at ${where(earlier.keyPlace)}`,
          todo: 'Keep one of the two',
        })
        continue
      }
      map.entries.set(name, { written, keyPlace, node: convert(value, keyPlace) })
    }
    return map
  }
  return { node: convert(document.contents as YamlNode, start), problems }
}

/** The YAML reader's commonest complaints in the words of someone who writes a pipeline, else its own words. */
function plainWords(code: string, message: string): string {
  const known: Record<string, string> = {
    TAB_AS_INDENT: 'a tab stands where the line is indented; use blanks',
    BAD_INDENT: 'the line is indented differently from its neighbours',
    MISSING_CHAR: `${lowerFirst(message)}; a bracket, quote or colon is missing`,
    BLOCK_AS_IMPLICIT_KEY:
      'two colons in one line, or a line indented too far; put a text with a colon in quotes',
    MULTIPLE_DOCS: 'the file holds several documents (---); a pipeline is one',
    TAG_RESOLVE_FAILED: 'tags (!name) have no meaning here',
    UNEXPECTED_TOKEN: `${lowerFirst(message)}; put a text that starts with a special character in quotes`,
  }
  return (known[code] ?? lowerFirst(message)).replace(/\.$/, '')
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
