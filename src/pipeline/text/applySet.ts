import { type Problem, RequestError } from '../../errors.js'
import { entryName, knownSpelling, writeOutBareNames } from './entryName.js'
import { child, isBlank, type ListNode, type Node } from './Node.js'
import { nearest } from './nearest.js'
import type { Place } from './Place.js'
import { parseText } from './parseText.js'

/**
 * One `--set key.path=value` over a pipeline's tree.
 * The value is read as YAML. A list is entered by index (0 is the first); entries of `steps` by their name, entries of
 * `outputs` by the `name` they were given or by their kind where only one is of that kind. What is not there yet is
 * made; one place beyond the end of a list appends.
 * @param root the tree, which is left as it is
 * @param assignment `steps.paper-texture.strength=0.8`
 * @param currentFolder absolute folder that relative paths in the value start from
 * @returns the new tree
 * @throws RequestError where the assignment has no such place to go to
 */
export function applySet(root: Node, assignment: string, currentFolder: string): Node {
  const place: Place = { source: `--set ${assignment}`, folder: currentFolder, line: 0, column: 0 }
  const refuse = (problem: Omit<Problem, 'where'>) => new RequestError({ where: place.source, ...problem })
  const equals = assignment.indexOf('=')
  const keys = assignment.slice(0, Math.max(equals, 0)).trim().split('.').map(knownSpelling)
  if (equals < 1 || keys.some((key) => key === '')) {
    throw refuse({
      what: 'not an assignment',
      expected: 'key.path=value',
      todo: 'For example --set master.space=opRGB',
    })
  }
  if (keys[0] === 'extends') {
    throw refuse({
      what: 'extends is followed before anything is set',
      todo: 'Write it into the pipeline file',
    })
  }
  const { node, problems } = parseText(assignment.slice(equals + 1), place)
  if (problems.length > 0) throw new RequestError(problems)
  const value: Node = node ?? { kind: 'scalar', value: null, place }

  const put = (at: Node | undefined, path: readonly string[], done: readonly string[]): Node => {
    if (path.length === 0) return value
    const [key, ...rest] = path
    if (isBlank(at)) {
      at = isEntryList(done) ? { kind: 'list', items: [], place } : { kind: 'map', entries: new Map(), place }
    }
    if (at?.kind === 'list') return putInList(at, path, done)
    if (at?.kind !== 'map') {
      throw refuse({ what: `${done.join('.')} holds a single value and has no key ${key}` })
    }
    const before = at.entries.get(key)
    const written = before ?? { written: key, keyPlace: place }
    const entry = { ...written, keyPlace: rest.length ? written.keyPlace : place }
    const entries = new Map(at.entries).set(key, { ...entry, node: put(before?.node, rest, [...done, key]) })
    return { ...at, entries }
  }
  const putInList = (list: ListNode, [key, ...rest]: readonly string[], done: readonly string[]): Node => {
    const named = isEntryList(done)
    const index = /^\d+$/.test(key) ? Number(key) : named ? indexByName(list, key, done[0]) : -1
    if (index < 0 || index > list.items.length) {
      throw refuse({
        what: `${done.join('.')} is a list and has no place ${key}`,
        expected: list.items.length ? `a number from 0 to ${list.items.length}` : '0',
      })
    }
    const name = named ? entryName(list.items[index]) : undefined
    const byName = !/^\d+$/.test(key)
    const inside =
      name !== undefined && (byName || (rest.length > 0 && rest[0] !== name)) ? [name, ...rest] : rest
    const items = [...list.items]
    items[index] = put(items[index], inside, [...done, String(index)])
    return { ...list, items }
  }
  const indexByName = (list: ListNode, key: string, listName: string): number => {
    const entries = list.items.map((item) => {
      const kind = entryName(item)
      const given = kind === undefined ? undefined : child(child(item, kind), 'name')
      return { kind, name: given?.kind === 'scalar' ? String(given.value) : undefined }
    })
    const byName = entries.findIndex(
      ({ name }) => listName === 'outputs' && name !== undefined && knownSpelling(name) === key,
    )
    if (byName >= 0) return byName
    const ofKind = entries.flatMap(({ kind }, i) => (kind === key ? [i] : []))
    if (ofKind.length === 1) return ofKind[0]
    const names = entries.flatMap(({ kind, name }) => (listName === 'outputs' ? (name ?? kind) : kind) ?? [])
    const meant = nearest(key, names)
    const what =
      ofKind.length > 1
        ? `${listName} has ${ofKind.length} entries of the kind ${key}`
        : `${listName} has no entry ${key}`
    throw refuse({
      what,
      expected: names.length ? `one of ${names.join(', ')}` : undefined,
      todo: meant && meant !== key ? `Nearest spelling: ${meant}` : 'Name it in the pipeline file first',
    })
  }
  return writeOutBareNames(put(writeOutBareNames(root), keys, []))
}

/** The lists whose entries are known by a name. */
const isEntryList = (path: readonly string[]) =>
  path.length === 1 && (path[0] === 'steps' || path[0] === 'outputs')
