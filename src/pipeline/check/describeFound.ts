import { isBlank, type Node } from '../text/Node.js'

/** What stands in the file, in words that follow "found". */
export function describeFound(node: Node | undefined): string {
  if (!node || isBlank(node)) return 'nothing'
  if (node.kind === 'list') return node.items.length ? `a list of ${node.items.length}` : 'an empty list'
  if (node.kind === 'map') {
    const keys = [...node.entries.values()].map(({ written }) => written)
    if (keys.length === 0) return 'an empty mapping'
    return `a mapping with ${keys.slice(0, 4).join(', ')}${keys.length > 4 ? ', …' : ''}`
  }
  if (typeof node.value !== 'string') return String(node.value)
  return `"${node.value.length > 60 ? `${node.value.slice(0, 57)}…` : node.value}"`
}
