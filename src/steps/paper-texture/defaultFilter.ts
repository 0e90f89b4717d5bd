import type { ReliefFilter } from './withoutRelief.js'

/**
 * The filter for a relief.
 * @param relief `64 * 64` powers
 * @param strength share of the relief's power to take away, 0..1
 */
export function defaultFilter(relief: Float32Array, strength: number): ReliefFilter {
  // Power s taken away leaves the amplitude sqrt(1 - s).
  return { n: 64, relief, pilotOver: 2.5, finalOver: 1, amount: 1 - Math.sqrt(1 - strength) }
}
