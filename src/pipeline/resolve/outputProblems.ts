import type { Problem } from '../../errors.js'
import { keyPlaceAt, type MapNode, nodeAt, valuePlaceAt } from '../text/Node.js'
import { where } from '../text/Place.js'
import type { NamedEntry } from './entriesOf.js'

/** An output's name: its params' `name`, else its kind. */
export function outputName({ name: kind, params }: NamedEntry): string {
  const name = (params as { name?: unknown } | undefined)?.name
  return typeof name === 'string' && name ? name : kind
}

/** The same where the params hold mistakes: what is written, if that is a name. */
function nameAsWritten(root: MapNode, entry: NamedEntry): string {
  const node = entry.sound ? undefined : nodeAt(root, ['outputs', entry.index, entry.name, 'name'])
  return node?.kind === 'scalar' && typeof node.value === 'string' ? node.value : outputName(entry)
}

/** Names that two outputs share (whatever their case, since some disks do not tell), and names no file can have. */
export function outputProblems(root: MapNode, entries: readonly NamedEntry[]): Problem[] {
  const problems: Problem[] = []
  const seen = new Map<string, NamedEntry>()
  for (const entry of entries) {
    const name = nameAsWritten(root, entry)
    const path = ['outputs', entry.index, entry.name, 'name']
    const place = where(valuePlaceAt(root, path))
    const twin = seen.get(name.toLowerCase())
    if (entry.sound && /[\\/:*?"<>|\p{Cc}]|^\.|[. ]$/u.test(name)) {
      problems.push({
        where: place,
        what: `${path.join('.')}: not a file name`,
        expected: 'a name without a folder and without \\ / : * ? " < > |',
        found: `"${name}"`,
      })
    } else if (twin) {
      const first = where(keyPlaceAt(root, ['outputs', twin.index, twin.name]))
      problems.push({
        where: place,
        what: `${path.join('.')}: two outputs have the name ${name}, the first at ${first}`,
        expected: 'a name of its own for each output',
        todo: `Give one of them another name, such as name: ${name}-2`,
      })
    }
    if (!twin) seen.set(name.toLowerCase(), entry)
  }
  return problems
}
