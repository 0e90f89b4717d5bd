import type { Place } from './Place.js'

export type Scalar = string | number | boolean | null

/** YAML as a tree in which every value and every key knows where it was written. */
export type Node = ScalarNode | ListNode | MapNode

export interface ScalarNode {
  kind: 'scalar'
  value: Scalar
  place: Place
}

export interface ListNode {
  kind: 'list'
  items: Node[]
  place: Place
}

export interface MapNode {
  kind: 'map'
  entries: Map<string, Entry>
  place: Place
}

export interface Entry {
  /** The key as it was written, before `color` became `colour`. */
  written: string
  keyPlace: Place
  node: Node
}

export type KeyPath = readonly (string | number)[]

/** True where nothing was written, which stands for the default. */
export function isBlank(node: Node | undefined): boolean {
  return node === undefined || (node.kind === 'scalar' && node.value === null)
}

/** The plain value of a tree. Keys left blank are left out. */
export function plain(node: Node): unknown {
  if (node.kind === 'scalar') return node.value
  if (node.kind === 'list') return node.items.map(plain)
  const given = [...node.entries].filter(([, entry]) => !isBlank(entry.node))
  return Object.fromEntries(given.map(([key, entry]) => [key, plain(entry.node)]))
}

/** The child of a node by key or index. */
export function child(node: Node | undefined, key: string | number): Node | undefined {
  if (node?.kind === 'map') return node.entries.get(String(key))?.node
  if (node?.kind === 'list') return node.items[Number(key)]
  return undefined
}

/** The node at a path of keys and indexes. */
export function nodeAt(root: Node, path: KeyPath): Node | undefined {
  return path.reduce<Node | undefined>(child, root)
}

/** Where the key at a path was written, or the nearest key above it that was. */
export function keyPlaceAt(root: Node, path: KeyPath): Place {
  let node = root
  let place = root.place
  for (const key of path) {
    const next = child(node, key)
    if (!next) break
    place = node.kind === 'map' ? node.entries.get(String(key))!.keyPlace : next.place
    node = next
  }
  return place
}

/** Where the value at a path was written; where nothing was, its key or the nearest key above. */
export function valuePlaceAt(root: Node, path: KeyPath): Place {
  const node = nodeAt(root, path)
  return node && !isBlank(node) ? node.place : keyPlaceAt(root, path)
}
