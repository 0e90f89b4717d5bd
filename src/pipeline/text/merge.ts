import type { MapNode, Node } from './Node.js'

/** A pipeline over its base: keys merge, lists and single values replace. Positions stay with whoever wrote them. */
export function merge(base: Node, over: Node): Node {
  if (base.kind !== 'map' || over.kind !== 'map') return over
  const merged: MapNode = { kind: 'map', entries: new Map(base.entries), place: over.place }
  for (const [key, entry] of over.entries) {
    const below = base.entries.get(key)
    merged.entries.set(key, below ? { ...entry, node: merge(below.node, entry.node) } : entry)
  }
  return merged
}
