import { moved, type Placement } from '../Placement.js'
import { between } from '../place/overlap.js'
import { sampleLight } from '../views/sampleLight.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import { fieldTerms, type LightField, onDisk } from './LightField.js'
import { median } from './median.js'

/** What a part of two captures' common area says of their light. */
export interface LightMatch {
  first: number
  second: number
  /** The fields' terms there, on each. */
  a: LightField
  b: LightField
  /** Logarithm of second / first in each channel. */
  logs: [r: number, g: number, b: number]
}

/** Light outside these says nothing of a gain: noise decides, or the device has cut it off. */
const LEAST_LIGHT = 0.02
const MOST_LIGHT = 0.99
const MOST_POINTS = 20_000
/** Parts across and down a capture, and the points one needs. */
const PARTS = 16
const LEAST_POINTS = 12

/** Medians of the log ratios of light over parts of all pairs' common areas, so that relief and noise even out. */
export function measureLight(
  views: readonly View[],
  placements: readonly (Placement | undefined)[],
  pairs: readonly { first: number; second: number }[],
): LightMatch[] {
  return pairs.flatMap(({ first, second }) => {
    const map = between(placements[first]!, placements[second]!)
    const [one, other] = [views[first].upright, views[second].upright]
    const parts = new Map<number, { logs: number[][]; x: number; y: number; u: number; v: number }>()
    visitScattered(views[first], views[second], map, (a, b, x, y, u, v) => {
      for (let c = 0; c < 3; c++) {
        if (Math.min(a[c], b[c]) < LEAST_LIGHT || Math.max(a[c], b[c]) > MOST_LIGHT) return
      }
      const [p, q] = onDisk(one, x, y).map((value) =>
        Math.min(PARTS - 1, Math.floor(((value + 1) / 2) * PARTS)),
      )
      const key = q * PARTS + p
      let part = parts.get(key)
      if (!part) {
        part = { logs: [[], [], []], x: 0, y: 0, u: 0, v: 0 }
        parts.set(key, part)
      }
      for (let c = 0; c < 3; c++) part.logs[c].push(Math.log(b[c] / a[c]))
      part.x += x
      part.y += y
      part.u += u
      part.v += v
    })
    return [...parts.values()]
      .filter(({ logs }) => logs[0].length >= LEAST_POINTS)
      .map(({ logs, x, y, u, v }) => {
        const n = logs[0].length
        return {
          first,
          second,
          a: fieldTerms(...onDisk(one, x / n, y / n)),
          b: fieldTerms(...onDisk(other, u / n, v / n)),
          logs: logs.map(median) as LightMatch['logs'],
        }
      })
  })
}

/**
 * Visits points of two captures' common area, scattered: at even distances the periodic relief of a weave would beat with
 * them, and pass for a falloff.
 * @param visit is given both lights, then the point in the first's and in the second's centred coordinates
 */
function visitScattered(
  first: View,
  second: View,
  map: Placement,
  visit: (a: Float64Array, b: Float64Array, x: number, y: number, u: number, v: number) => void,
): void {
  const [halfX, halfY] = halfExtent(first.upright)
  const { width, height, cell } = first.light
  const stride = Math.max(1, Math.sqrt((width * height) / MOST_POINTS))
  const [a, b] = [new Float64Array(3), new Float64Array(3)]
  let n = 0
  for (let j = 0; j < height; j += stride) {
    for (let i = 0; i < width; i += stride, n++) {
      // Golden-ratio steps: even over any stretch, and never in step with anything.
      const [across, down] = [(n * 0.7548776662466927) % 1, (n * 0.5698402909980532) % 1]
      const [x, y] = [(i + across * stride) * cell - halfX, (j + down * stride) * cell - halfY]
      if (!sampleLight(first, x, y, a)) continue
      const [u, v] = moved(map, x, y)
      if (sampleLight(second, u, v, b)) visit(a, b, x, y, u, v)
    }
  }
}
