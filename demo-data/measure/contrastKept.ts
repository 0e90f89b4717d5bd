import type { Tile } from '../../src/raster/Tile.js'
import type { Probe } from '../Painting.js'
import { luminance } from './luminance.js'

/**
 * How much of the marks' contrast a result keeps: 1 = all of it.
 *
 * Formula: sum over pairs of ln(Y beside / Y on) in the result, over the same sum in the truth. It does not change with
 * exposure, and noise averages out over the pairs.
 * @param truth, result tiles over the same place
 * @param probes from the painting; pairs outside the tiles are left out
 * @throws RangeError where no pair lies inside
 */
export function contrastKept(
  truth: Tile,
  result: Tile,
  probes: readonly Probe[],
  kind: Probe['kind'],
): number {
  const { x: left, y: top, width, height } = truth.rect
  const [want, have] = [luminance(truth), luminance(result)]
  let [before, after, count] = [0, 0, 0]
  const at = ([x, y]: readonly [number, number]) =>
    x >= left && y >= top && x < left + width && y < top + height ? (y - top) * width + (x - left) : -1
  for (const { kind: its, pairs } of probes) {
    if (its !== kind) continue
    for (const { on, beside } of pairs) {
      const [i, j] = [at(on), at(beside)]
      if (i < 0 || j < 0) continue
      before += Math.log(want[j] / want[i])
      after += Math.log(Math.max(have[j], 1e-4) / Math.max(have[i], 1e-4))
      count++
    }
  }
  if (count === 0) throw new RangeError(`no ${kind} mark can be measured here`)
  return after / before
}
