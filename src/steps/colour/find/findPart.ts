import { colourMatch } from './colourMatch.js'
import { searchLattices } from './findChart.js'
import { cellAreaPx } from './growLattice.js'
import { composeHomography, type Homography, mapPoint } from './homography.js'
import type { LightView } from './lightView.js'
import { centreColours, type Sought, TURNS } from './placeChart.js'

/** So few patches match a chart by chance: the map of colours has as many freedoms. */
const LEAST_SHARE = 0.4

/** So near must the colours be, CIELAB units: nearer than for a whole chart, as fewer patches hold the map. */
const PART_RESIDUAL = 5

/**
 * Looks for a chart that the picture holds in part only: its frame cuts it, or something large lies over it.
 * @returns how many patches are in the picture, undefined where no part is found
 */
export function findPart(view: LightView, chart: Sought): number | undefined {
  const { columns: across, rows: down, patches, labD50 } = chart
  let best: { residual: number; patches: number } | undefined
  searchLattices(view, chart, ({ nodes, toView }) => {
    for (const turn of TURNS) {
      const back: Homography = [turn[0], turn[3], 0, turn[1], turn[4], 0, 0, 0, 1]
      const turned = nodes.map(({ i, j }) => [turn[0] * i + turn[1] * j, turn[3] * i + turn[4] * j])
      const [us, vs] = [turned.map(([u]) => u), turned.map(([, v]) => v)]
      for (let left = Math.max(...us) - across + 1; left <= Math.min(...us); left++) {
        for (let top = Math.max(...vs) - down + 1; top <= Math.min(...vs); top++) {
          const chartToView = composeHomography(
            toView,
            composeHomography(back, [1, 0, left, 0, 1, top, 0, 0, 1]),
          )
          const held = patches.flatMap(({ at }, k) => (isInside(view, chartToView, at) ? [k] : []))
          if (held.length < LEAST_SHARE * patches.length || held.length === patches.length) continue
          const seen = centreColours(
            view,
            chartToView,
            held.map((k) => patches[k]),
          )
          const residual = seen
            ? colourMatch(
                seen,
                held.map((k) => labD50[k]),
              )
            : Number.POSITIVE_INFINITY
          if (residual < (best?.residual ?? PART_RESIDUAL)) best = { residual, patches: held.length }
        }
      }
    }
    return false
  })
  return best?.patches
}

function isInside(
  { width, height }: LightView,
  toView: Homography,
  at: readonly [column: number, row: number],
): boolean {
  const [x, y] = mapPoint(toView, [at[0], at[1]])
  const half = 0.3 * Math.sqrt(cellAreaPx(toView, at[0], at[1]))
  return x > half && y > half && x < width - half && y < height - half
}
