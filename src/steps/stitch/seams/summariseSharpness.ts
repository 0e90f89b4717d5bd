import { median } from '../light/median.js'
import type { SharperPart, SharpnessReading } from '../Reading.js'
import { type SharpnessPair, sharper } from './sharper.js'

/**
 * What is said of each pair's sharpness.
 * @param reachPx as for `sharper`
 */
export function summariseSharpness(pairs: readonly SharpnessPair[], reachPx: number): SharpnessReading[] {
  return pairs
    .filter(({ windows }) => windows.length > 0)
    .map((pair) => {
      const { first, second, windows } = pair
      const by = sharper(pair, reachPx)
      const found = windows.map(({ x, y, log }) => ({ log, by: by(x, y) }))
      const part = (sign: number): SharperPart | undefined => {
        const own = found.filter((window) => sign * window.by > 0)
        if (!own.length) return undefined
        return {
          share: own.length / windows.length,
          left: Math.exp(-sign * median(own.map(({ log }) => log))),
        }
      }
      const [firstSharper, secondSharper] = [part(-1), part(1)]
      return {
        ...{ first, second },
        windows: windows.length,
        contrast: Math.exp(median(windows.map(({ log }) => log))),
        ...(firstSharper ? { firstSharper } : {}),
        ...(secondSharper ? { secondSharper } : {}),
      }
    })
}
