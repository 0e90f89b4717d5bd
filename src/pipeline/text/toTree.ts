import {
  type Alias,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type YAMLMap,
  type Node as YamlNode,
} from 'yaml'
import type { Problem } from '../../errors.js'
import { knownSpelling } from './entryName.js'
import type { MapNode, Node, Scalar } from './Node.js'
import { type Place, where } from './Place.js'

/** A file that grows beyond this through anchors is not a pipeline. */
const MAX_NODES = 100_000

/**
 * A parsed YAML document as a tree with positions: aliases followed, doubled keys found, `color` read as `colour`.
 * @param placeAt the place of an offset in the text
 */
export function toTree(
  document: Document,
  placeAt: (offset: number) => Place,
): { node: Node; problems: Problem[] } {
  const problems: Problem[] = []
  const open = new Set<YamlNode>()
  let count = 0

  const convert = (node: YamlNode | null, fallback: Place): Node => {
    const place = node?.range ? placeAt(node.range[0]) : fallback
    if (++count === MAX_NODES)
      problems.push({ where: where(place), what: 'the file repeats itself beyond reason' })
    if (!node || count >= MAX_NODES) return { kind: 'scalar', value: null, place }
    if (isAlias(node)) return followed(node, place)
    if (isScalar(node)) {
      const value = typeof node.value === 'bigint' ? Number(node.value) : (node.value as Scalar)
      return { kind: 'scalar', value, place }
    }
    open.add(node)
    const tree: Node = isSeq(node)
      ? { kind: 'list', items: node.items.map((item) => convert(item as YamlNode | null, place)), place }
      : convertMap(node as YAMLMap, place)
    open.delete(node)
    return tree
  }

  const followed = (alias: Alias, place: Place): Node => {
    const target = alias.resolve(document)
    if (target && !open.has(target)) return convert(target, place)
    const what = `*${alias.source} stands for ${target ? 'itself' : 'nothing'}`
    problems.push({ where: where(place), what })
    return { kind: 'scalar', value: null, place }
  }

  const convertMap = (map: YAMLMap, place: Place): MapNode => {
    const entries: MapNode['entries'] = new Map()
    for (const { key, value } of map.items as { key: YamlNode; value: YamlNode | null }[]) {
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
      const name = knownSpelling(written)
      const earlier = entries.get(name)
      if (!earlier) entries.set(name, { written, keyPlace, node: convert(value, keyPlace) })
      else {
        problems.push({
          where: where(keyPlace),
          what: `${written}: written twice in the same place, first at ${where(earlier.keyPlace)}`,
          todo: 'Keep one of the two',
        })
      }
    }
    return { kind: 'map', entries, place }
  }

  const root = document.contents as YamlNode
  const node =
    isMap(root) || isSeq(root) || isScalar(root) ? convert(root, placeAt(0)) : convert(null, placeAt(0))
  return { node, problems }
}
