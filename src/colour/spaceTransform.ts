import { curveTable } from './curves/curveTable.js'
import type { InputTransform } from './InputTransform.js'
import type { SpaceName } from './spaces/SpaceName.js'
import { space } from './spaces/space.js'
import { toWorking } from './working.js'

type Matrixed = InputTransform & { kind: 'matrix' }

const known = new Map<SpaceName, Matrixed>()

/** How the numbers of a picture in a standard space become working linear light. */
export function spaceTransform(name: SpaceName): Matrixed {
  let transform = known.get(name)
  if (!transform) {
    const curve = curveTable(space(name).decode)
    transform = { kind: 'matrix', curves: [curve, curve, curve], matrix: [...toWorking(name)] }
    known.set(name, transform)
  }
  return transform
}
