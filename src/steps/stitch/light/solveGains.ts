import { between, overlap } from '../place/overlap.js'
import type { Rigid } from '../Rigid.js'
import { solve } from '../solve.js'
import { visitCommon } from '../views/sampleLight.js'
import type { View } from '../views/View.js'

export type Gain = [r: number, g: number, b: number]

/** Light below this says nothing of a gain. */
const LEAST_LIGHT = 0.02
const MOST_POINTS = 20_000

/**
 * One gain a capture and channel that makes all common areas agree together: least squares over the medians of the log
 * ratios of every pair, weighted by the common area; the gains' geometric mean is 1, so that no capture is the measure.
 * @returns the factors by which each capture's light is to be multiplied
 */
export function solveGains(
  views: readonly View[],
  placements: readonly (Rigid | undefined)[],
  pairs: readonly { first: number; second: number }[],
): Gain[] {
  const gains: Gain[] = views.map(() => [1, 1, 1])
  const placed = views.map((_, i) => i).filter((i) => placements[i])
  if (!pairs.length) return gains
  const measured = pairs.map(({ first, second }) => {
    const map = between(placements[first]!, placements[second]!)
    return {
      first: placed.indexOf(first),
      second: placed.indexOf(second),
      weight: overlap(views[first].upright, views[second].upright, map).share + 1e-3,
      logs: medianLogRatios(views[first], views[second], map),
    }
  })
  for (let c = 0; c < 3; c++) {
    const n = placed.length
    // The last row's weight holds the mean at zero without disturbing the differences.
    const normal = Array.from({ length: n }, () => new Array<number>(n).fill(1))
    const right = new Array<number>(n).fill(0)
    for (const { first, second, weight, logs } of measured) {
      if (!logs) continue
      normal[first][first] += weight
      normal[second][second] += weight
      normal[first][second] -= weight
      normal[second][first] -= weight
      right[first] += weight * logs[c]
      right[second] -= weight * logs[c]
    }
    const solution = solve(normal, right)
    for (const [k, i] of placed.entries()) gains[i][c] = Math.exp(solution?.[k] ?? 0)
  }
  return gains
}

/** Medians of log(second / first) in each channel; undefined where nothing is light enough. */
function medianLogRatios(first: View, second: View, map: Rigid): Gain | undefined {
  const logs: [number[], number[], number[]] = [[], [], []]
  visitCommon(first, second, map, MOST_POINTS, (a, b) => {
    for (let c = 0; c < 3; c++) {
      if (a[c] > LEAST_LIGHT && b[c] > LEAST_LIGHT) logs[c].push(Math.log(b[c] / a[c]))
    }
  })
  if (logs.some(({ length }) => length < 20)) return undefined
  return logs.map(median) as Gain
}

export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort()
  return sorted[sorted.length >> 1]
}
