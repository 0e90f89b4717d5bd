import type { View } from '../views/View.js'
import { type Sharper, type SharpnessPair, sharper } from './sharper.js'

/** Share of a capture's shorter side over which sharpness is averaged (standard deviation). */
const SHARPNESS_REACH = 0.2

/** How much sharper one capture is than each of the others, where anything is known. */
export function sharperThan(
  index: number,
  sharpness: readonly SharpnessPair[],
  views: readonly View[],
): Map<number, Sharper> {
  const reachPx = sharpnessReach(views)
  return new Map(
    sharpness
      .filter(({ first, second }) => first === index || second === index)
      .flatMap((pair): [number, Sharper][] => {
        const by = sharper(pair, reachPx)
        // What no window tells need not be asked of every cell.
        if (!pair.windows.some(({ x, y }) => by(x, y) !== 0)) return []
        return [pair.second === index ? [pair.first, by] : [pair.second, (x, y) => -by(x, y)]]
      }),
  )
}

/** Sheet pixels over which sharpness is averaged. */
export const sharpnessReach = (views: readonly View[]): number =>
  SHARPNESS_REACH *
  Math.min(...views.flatMap(({ upright }) => [upright.width * upright.scale, upright.height * upright.scale]))
