import { CHART24 } from '../../../src/colour/charts/chart24.js'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { findChart } from '../../../src/steps/colour/find/findChart.js'
import { lightView } from '../../../src/steps/colour/find/lightView.js'
import { placementOf, worstError } from '../../steps/colour/placements.js'
import { row } from '../row.js'

/** Charts laid down at random, 3 % to 90 % of the frame, on a busy ground, under strange cameras and uneven light. */
export function placements(count: number): void {
  const chart = { ...CHART24, labD50: CHART24_2014.labD50 }
  let [found, near, wrongWay, worst] = [0, 0, 0, 0]
  for (let seed = 0; seed < count; seed++) {
    const { tile, toPicture } = placementOf(seed)
    const placed = findChart(lightView(tile, 1), chart)
    if (!placed) continue
    found++
    const error = worstError(toPicture, placed.toView)
    if (error < 0.05) near++
    else if (error > 0.5) wrongWay++
    worst = Math.max(worst, error)
  }
  row(
    `charts found of ${count}`,
    `${((100 * found) / count).toFixed(1)} %`,
    'at least 99 %',
    found >= 0.99 * count,
  )
  row('the wrong way up or elsewhere', String(wrongWay), 'none', wrongWay === 0)
  row(
    'patch centres within 5 % of a patch',
    `${near} of ${found}`,
    `all (worst ${(100 * worst).toFixed(1)} %)`,
    near === found,
  )
}
