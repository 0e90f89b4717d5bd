import type { z } from 'zod'
import type { Problem } from '../../errors.js'
import { checkAgainst } from '../check/checkAgainst.js'
import { describeFound } from '../check/describeFound.js'
import type { WrittenPath } from '../check/toInput.js'
import type { Described } from '../schema/pipelineSchema.js'
import { entryName } from '../text/entryName.js'
import { child, isBlank, type MapNode, type Node } from '../text/Node.js'
import { nearest } from '../text/nearest.js'
import { where } from '../text/Place.js'

/** An entry whose name is known. */
export interface NamedEntry {
  name: string
  index: number
  /** What its schema made of the params; undefined where they hold mistakes. */
  params: unknown
  sound: boolean
}

export interface Entries {
  entries: NamedEntry[]
  problems: Problem[]
  /** The paths named in the params. */
  paths: WrittenPath[]
  /** False where an entry's name is not known, so that nothing can be said of what is missing. */
  complete: boolean
}

/**
 * The entries of `steps` or `outputs`, each checked against its registry's schema.
 * @param root the pipeline's tree, bare names written out
 * @param listName `steps` or `outputs`
 */
export function entriesOf(
  root: MapNode,
  listName: 'steps' | 'outputs',
  registry: ReadonlyMap<string, Described>,
): Entries {
  const list = root.entries.get(listName)?.node
  const found: Entries = { entries: [], problems: [], paths: [], complete: true }
  if (!list || isBlank(list)) return found
  if (list.kind !== 'list') {
    const problem = {
      where: where(list.place),
      what: `${listName}: wrong type`,
      expected: 'a list, each entry on a line of its own that starts with a dash',
      found: describeFound(list),
    }
    return { ...found, problems: [problem], complete: false }
  }
  list.items.forEach((item, index) => {
    const name = entryName(item)
    const described = name === undefined ? undefined : registry.get(name)
    if (name === undefined || !described) {
      found.complete = false
      found.problems.push(notAnEntry(item, `${listName}.${index}`, listName.slice(0, -1), registry))
      return
    }
    const node = withDefaults(described.params, child(item, name)!)
    const checked = checkAgainst(described.params, node, [listName, index, name])
    found.paths.push(...checked.paths)
    found.problems.push(...checked.problems)
    found.entries.push({ name, index, params: checked.value, sound: checked.problems.length === 0 })
  })
  return found
}

/** What is wrong with an entry that is not one known name. */
function notAnEntry(
  item: Node,
  key: string,
  noun: string,
  registry: ReadonlyMap<string, Described>,
): Problem {
  const names = [...registry.keys()]
  const written = item.kind === 'map' ? [...item.entries.values()] : []
  if (written.length === 1) {
    const near = nearest(written[0].written, names)
    return {
      where: where(written[0].keyPlace),
      what: `${key}: unknown ${noun} ${written[0].written}`,
      expected: `one of ${names.join(', ')}`,
      todo: near && `Nearest spelling: ${near}`,
    }
  }
  const several = written.length > 1
  return {
    where: where(several ? written[1].keyPlace : item.place),
    what: several ? `${key}: several names in one entry` : `${key}: not a ${noun}`,
    expected: `one ${noun} an entry, such as - ${names[0]}`,
    found: describeFound(item),
    todo: several ? advice(item as MapNode, registry) : undefined,
  }
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
