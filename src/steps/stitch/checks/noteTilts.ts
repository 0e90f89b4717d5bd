import { tiltOf } from '../refine/models/camera.js'
import type { Upright } from '../views/Upright.js'

/** Frames tilted by more than this are far from a camera on a stand: sharpness and light suffer, or the scene is no sheet. */
const MOST_TILT_DEG = 18

/**
 * Warns about frames that lie at a slant no stand has.
 * @returns the greatest tilt in degrees
 */
export function noteTilts(
  uprights: readonly Upright[],
  own: readonly (readonly number[] | undefined)[],
  warnings: string[],
): number {
  let mostDeg = 0
  for (const [i, numbers] of own.entries()) {
    if (!numbers) continue
    const deg = (tiltOf(numbers) * 180) / Math.PI
    mostDeg = Math.max(mostDeg, deg)
    if (deg > MOST_TILT_DEG) {
      warnings.push(
        `${uprights[i].label} seems tilted by ${deg.toFixed(0)} degrees; up to 15 are allowed for. Is it a flat sheet? Look at its seams`,
      )
    }
  }
  return mostDeg
}
