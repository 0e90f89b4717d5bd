import { deltaE2000 } from '../../../colour/deltaE2000.js'
import type { Vector3 } from '../../../colour/matrix3.js'
import type { Layout } from '../layout/layOut.js'
import { type Correction, fieldAt } from '../light/LightField.js'
import { backwards, moved, type Placement } from '../Placement.js'
import type { SeamMap } from '../Reading.js'
import { sampleLight } from '../views/sampleLight.js'
import type { View } from '../views/View.js'
import { labOfLight } from './labOfLight.js'
import { fromRuns } from './runs.js'

/** A place where a seam parts two captures. */
export interface Crossing {
  /** Sheet pixels. */
  x: number
  y: number
  /** The way across: 1, 0 or 0, 1, from the first capture to the second. */
  across: readonly [dx: number, dy: number]
  first: number
  second: number
  /** By how much the two reduced captures differ about it, CIEDE2000. */
  difference: number
}

/** Samples each way about a place whose mean is compared. */
const SAMPLES = [-1, 0, 1]

/**
 * Places all along the seams where both captures have light, and by how much their reduced views differ there once light is
 * matched.
 * @param reachPx how far about a place both captures must reach
 */
export function findCrossings(
  seams: SeamMap,
  views: readonly View[],
  { placements }: Layout,
  corrections: readonly Correction[],
  reachPx: number,
): Crossing[] {
  const { cellPx, width, height, runs } = seams
  const labels = fromRuns(runs, width * height)
  const back = placements.map((placement) => placement && backwards(placement))
  const crossings: Crossing[] = []
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      for (const across of WAYS) {
        const [dx, dy] = across
        if (i + dx >= width || j + dy >= height) continue
        const first = labels[j * width + i]
        const second = labels[(j + dy) * width + i + dx]
        if (first < 0 || second < 0 || first === second) continue
        const [x, y] = [Math.round((i + (1 + dx) / 2) * cellPx), Math.round((j + (1 + dy) / 2) * cellPx)]
        const [one, other] = [first, second].map((index) =>
          lightAbout(views[index], back[index]!, corrections[index], x, y, reachPx),
        )
        if (!one || !other) continue
        const difference = deltaE2000(labOfLight(one), labOfLight(other))
        crossings.push({ x, y, across, first, second, difference })
      }
    }
  }
  return crossings
}

const WAYS = [
  [1, 0],
  [0, 1],
] as const

/** A capture's mean light about a place of the sheet; undefined where it does not reach all of it. */
function lightAbout(
  view: View,
  back: Placement,
  { gain, field }: Correction,
  x: number,
  y: number,
  reachPx: number,
): Vector3 | undefined {
  const sum: Vector3 = [0, 0, 0]
  const rgb = new Float64Array(3)
  for (const v of SAMPLES) {
    for (const u of SAMPLES) {
      const [px, py] = moved(back, x + u * reachPx, y + v * reachPx)
      if (!sampleLight(view, px, py, rgb)) return undefined
      const factor = fieldAt(field, view.upright, px, py) / SAMPLES.length ** 2
      for (let c = 0; c < 3; c++) sum[c] += rgb[c] * gain[c] * factor
    }
  }
  return sum
}
