import { CHART24 } from '../../../src/colour/charts/chart24.js'
import { IDENTITY3 } from '../../../src/colour/matrix3.js'
import type { ChartColours } from '../../../src/steps/colour/fit/ChartColours.js'
import type { Triple } from '../../../src/steps/colour/fit/Fit.js'

/** A 24-patch chart in even light, captured by a device whose channels are the working space's. */
export function chartColours(
  linear: readonly Triple[],
  labD50: readonly (readonly [number, number, number])[],
): ChartColours {
  return {
    linear,
    slopes: linear.map(() => [0, 0]),
    places: CHART24.patches.map(({ at: [column, row] }) => ({ u: column - 2.5, v: row - 1.5 })),
    labD50: labD50.map((lab): Triple => [...lab]),
    used: linear.map((_, k) => k),
    greys: CHART24.greys,
    deviceToWorking: IDENTITY3,
  }
}
