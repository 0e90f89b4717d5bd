import type { Placement } from '../Placement.js'
import { between } from '../place/overlap.js'
import { visitCommon } from '../views/sampleLight.js'
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
    visitCommon(views[first], views[second], map, MOST_POINTS, (a, b, x, y, u, v) => {
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
