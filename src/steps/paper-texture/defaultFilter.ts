import { rescaledSpectrum } from './rescaledSpectrum.js'
import type { ReliefFilter } from './withoutRelief.js'

/**
 * The filter for a relief.
 * @param relief `64 * 64` powers
 * @param tint the relief's own colour change, see `reliefTint`
 * @param strength share of the relief's power to take away, 0..1
 */
export function defaultFilter(
  relief: Float32Array,
  tint: readonly [number, number],
  strength: number,
): ReliefFilter {
  return {
    n: 32,
    relief: rescaledSpectrum(relief, 64, 32, 1),
    pilotOver: 1.5,
    finalOver: 1,
    ridge: 0.03,
    tint,
    // Power s taken away leaves the amplitude sqrt(1 - s).
    amount: 1 - Math.sqrt(1 - strength),
  }
}
