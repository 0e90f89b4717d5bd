import type { MapNode, Node } from './Node.js'

/** Step and output names as they are known: `color` is taken for `colour`. */
export function knownSpelling(name: string): string {
  return name.replaceAll('color', 'colour')
}

/** The name of a list entry `- name: { … }`, or undefined where the entry is not of this form. */
export function entryName(entry: Node | undefined): string | undefined {
  return entry?.kind === 'map' && entry.entries.size === 1 ? [...entry.entries.keys()][0] : undefined
}

/** Bare names in the lists `steps` and `outputs` (`- stitch`) written out as `- stitch:` with nothing after the colon. */
export function writeOutBareNames(root: Node): Node {
  if (root.kind !== 'map') return root
  const entries = new Map(root.entries)
  for (const key of ['steps', 'outputs']) {
    const entry = entries.get(key)
    if (entry?.node.kind !== 'list') continue
    entries.set(key, { ...entry, node: { ...entry.node, items: entry.node.items.map(writtenOut) } })
  }
  return { ...root, entries }
}

function writtenOut(item: Node): Node {
  if (item.kind !== 'scalar' || typeof item.value !== 'string') return item
  const { place, value: written } = item
  const node: Node = { kind: 'scalar', value: null, place }
  const map: MapNode = {
    kind: 'map',
    entries: new Map([[knownSpelling(written), { written, keyPlace: place, node }]]),
    place,
  }
  return map
}
