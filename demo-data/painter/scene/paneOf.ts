import type { Canvas, Place } from '../Canvas.js'
import { layWash } from '../layWash.js'

/** A small dark window, a touch of the brush's flat. */
export function paneOf(canvas: Canvas, outline: readonly Place[], strength = 1): void {
  layWash(canvas, {
    ...{ outline, wanderMm: 0.12, wanderLengthMm: 1.5, masked: false, pool: 0.5, poolMm: 0.3, hardMm: 0.07 },
    mix(_u, _v, mix) {
      mix['shadow grey'] = 0.75 * strength
      mix['deep blue'] = 0.5 * strength
    },
  })
}
