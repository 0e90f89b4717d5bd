import type { z } from 'zod'
import type { Problem } from '../../errors.js'
import { checkAgainst } from '../check/checkAgainst.js'
import { describeFound } from '../check/describeFound.js'
import type { WrittenPath } from '../check/toInput.js'
import type { Described } from '../schema/pipelineSchema.js'
import { isBlank, type MapNode, type Node } from '../text/Node.js'
import { nearest } from '../text/nearest.js'
import { where } from '../text/Place.js'

export interface NamedEntry {
  name: string
  index: number
  params: unknown
}

/**
 * The entries of `steps` or `outputs`, each checked against its registry's schema.
 * @param root the pipeline's tree, bare names written out
 * @param listName `steps` or `outputs`
 * @returns the entries without mistakes; all mistakes; the paths named; the known names of all entries, and whether
 * every name was known
 */
export function entriesOf(
  root: MapNode,
  listName: 'steps' | 'outputs',
  registry: ReadonlyMap<string, Described>,
): {
  entries: NamedEntry[]
  problems: Problem[]
  paths: WrittenPath[]
  names: string[]
  namesKnown: boolean
} {
  const noun = listName === 'steps' ? 'step' : 'output'
  const list = root.entries.get(listName)?.node
  const problems: Problem[] = []
  const entries: NamedEntry[] = []
  const paths: WrittenPath[] = []
  const names: string[] = []
  let namesKnown = true
  if (!list || isBlank(list)) return { entries, problems, paths, names, namesKnown }
  if (list.kind !== 'list') {
    problems.push({
      where: where(list.place),
      what: `${listName}: wrong type`,
      expected: `a list, each entry on a line of its own that starts with a dash`,
      found: describeFound(list),
    })
    return { entries, problems, paths, names, namesKnown: false }
  }
  list.items.forEach((item, index) => {
    const key = `${listName}.${index}`
    if (item.kind !== 'map' || item.entries.size !== 1) {
      namesKnown = false
      const several = item.kind === 'map' && item.entries.size > 1
      problems.push({
        where: where(several ? [...(item as MapNode).entries.values()][1].keyPlace : item.place),
        what: several ? `${key}: several names in one entry` : `${key}: not a ${noun}`,
        expected: `one ${noun} an entry, such as - ${[...registry.keys()][0] ?? noun}`,
        found: describeFound(item),
        todo: several ? advice(item as MapNode, registry) : undefined,
      })
      return
    }
    const [[name, entry]] = [...item.entries]
    const described = registry.get(name)
    if (!described) {
      namesKnown = false
      const near = nearest(name, [...registry.keys()])
      problems.push({
        where: where(entry.keyPlace),
        what: `${key}: unknown ${noun} ${entry.written}`,
        expected: `one of ${[...registry.keys()].join(', ')}`,
        todo: near && `Nearest spelling: ${near}`,
      })
      return
    }
    names.push(name)
    const checked = checkAgainst(described.params, withDefaults(described.params, entry.node), [
      listName,
      index,
      name,
    ])
    paths.push(...checked.paths)
    if (checked.problems.length > 0) problems.push(...checked.problems)
    else entries.push({ name, index, params: checked.value })
  })
  return { entries, problems, paths, names, namesKnown }
}

/** `a: … b: …` in one entry is either a dash or an indentation forgotten; the second name tells which. */
function advice(item: MapNode, registry: ReadonlyMap<string, Described>): string {
  const [first, second] = [...item.entries.values()]
  const name = [...item.entries.keys()][1]
  return registry.has(name)
    ? `Start a new line with a dash for ${second.written}`
    : `Indent ${second.written} further if it belongs to ${first.written}`
}

/** What stands for "nothing said": an empty mapping, or an empty list where the params are one. */
function withDefaults(params: z.ZodType, node: Node): Node {
  if (!isBlank(node)) return node
  const list: Node = { kind: 'list', items: [], place: node.place }
  const map: Node = { kind: 'map', entries: new Map(), place: node.place }
  return !params.safeParse({}).success && params.safeParse([]).success ? list : map
}
