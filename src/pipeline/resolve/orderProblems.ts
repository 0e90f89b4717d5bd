import type { Problem } from '../../errors.js'
import type { Step } from '../../steps/contract.js'
import { keyPlaceAt, type MapNode } from '../text/Node.js'
import { where } from '../text/Place.js'
import type { NamedEntry } from './entriesOf.js'

const RANK = { capture: 0, join: 1, picture: 2 } as const
const WORKS_ON = {
  capture: 'works on each capture',
  join: 'joins the captures',
  picture: 'works on the one picture',
} as const

/** Steps that stand twice, and steps that stand after one they must precede: each capture, then joining, then the picture. */
export function orderProblems(
  root: MapNode,
  entries: readonly NamedEntry[],
  steps: ReadonlyMap<string, Step>,
): Problem[] {
  const problems: Problem[] = []
  entries.forEach(({ name, index }, i) => {
    const place = (at: number, step: string) => where(keyPlaceAt(root, ['steps', at, step]))
    const twin = entries.slice(0, i).find((earlier) => earlier.name === name)
    if (twin) {
      problems.push({
        where: place(index, name),
        what: `steps.${index}.${name}: the step stands twice, first at ${place(twin.index, name)}`,
        expected: 'each step at most once',
        todo: 'Keep one of the two',
      })
      return
    }
    const scope = steps.get(name)!.scope
    const late = entries.slice(0, i).find((earlier) => RANK[steps.get(earlier.name)!.scope] > RANK[scope])
    if (late) {
      problems.push({
        where: place(index, name),
        what: `steps.${index}.${name}: ${name} ${WORKS_ON[scope]} and must stand before ${late.name}, which ${WORKS_ON[steps.get(late.name)!.scope]}`,
        todo: `Move ${name} above ${late.name}`,
      })
    }
  })
  return problems
}
