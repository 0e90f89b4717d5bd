import { WorkError } from '../../../errors.js'
import type { PairReading } from '../Reading.js'
import type { Upright } from '../views/Upright.js'
import { FLAT_TODO, MOST_LOST } from './limits.js'

/** Disagreement of windows, in sheet pixels, beyond which the captures are warned about, and refused. */
const WARN_RMS_PX = 1
const REFUSE_RMS_PX = 3

/** Of a pair's windows, a greater share than this elsewhere is worth a warning; a plane seen in perspective bends to much. */
const WARN_LOST = { flatbed: 0.3, camera: 0.2 } as const

/** Refuses captures that cannot be one flat sheet, and warns about what is doubtful. */
export function judgeFit(
  uprights: readonly Upright[],
  pairs: readonly PairReading[],
  rmsPx: number,
  windows: number,
  warnings: string[],
  kind: keyof typeof WARN_LOST,
): void {
  const names = ({ first, second }: PairReading) => `${uprights[first].label} and ${uprights[second].label}`
  for (const pair of pairs) {
    if (pair.windows === 0) {
      warnings.push(
        `${names(pair)} share nothing that fixes their place to a fraction of a pixel; they are placed by the reduced view alone`,
      )
      continue
    }
    const lost = pair.outliers / pair.windows
    if (pair.residualRmsPx > REFUSE_RMS_PX || (pair.windows >= 8 && lost > MOST_LOST)) {
      throw new WorkError({
        what: `${names(pair)} do not fit together as one flat sheet`,
        expected: `windows of their common area to agree within ${REFUSE_RMS_PX} px after shift and rotation`,
        found: `${pair.residualRmsPx.toFixed(1)} px, with ${pair.outliers} of ${pair.windows} windows elsewhere`,
        todo: FLAT_TODO,
      })
    }
    if (pair.residualRmsPx > WARN_RMS_PX || (pair.windows >= 8 && lost > WARN_LOST[kind])) {
      warnings.push(
        `${names(pair)} agree only within ${pair.residualRmsPx.toFixed(1)} px (${pair.outliers} of ${pair.windows} windows left out); is the sheet flat? Look at their seam`,
      )
    }
  }
  if (windows && rmsPx > WARN_RMS_PX) {
    warnings.push(`the captures agree only within ${rmsPx.toFixed(1)} px; is the sheet flat?`)
  }
}
