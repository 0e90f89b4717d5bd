import type { WorstSeam } from '../Reading.js'
import type { Upright } from '../views/Upright.js'

/** A step left after blending, in CIEDE2000, that nobody overlooks; captures of one flat sheet leave less than 1. */
const WARN_STEP = 3

/** Warns about a seam that blending does not hide. */
export function noteWorstSeam(
  uprights: readonly Upright[],
  { first, second, after }: WorstSeam,
  warnings: string[],
): void {
  if (after <= WARN_STEP) return
  warnings.push(
    `${uprights[first].label} and ${uprights[second].label} differ so much where they meet that the seam shows (${after.toFixed(1)} CIEDE2000 from side to side): clipped light, a sheet that moved, or another picture. The report shows the place`,
  )
}
