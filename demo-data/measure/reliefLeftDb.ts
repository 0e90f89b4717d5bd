import type { Tile } from '../../src/raster/Tile.js'
import { blurred } from '../painter/blurred.js'
import { luminance } from './luminance.js'

/** What is slower than this is light or base tone, not relief. */
const SLOW_PX = 9

/**
 * How much relief a result leaves on blank paper, in decibels against the untouched capture: 0 = all, -20 = a hundredth of
 * its power.
 *
 * Formula: 10 log10 of the powers' ratio, each the variance over blank pixels of luminance / truth, less its slow part.
 * @param truth, captured, result tiles over the same place, working light
 * @param blank 1 where the tile is unpainted
 */
export function reliefLeftDb(truth: Tile, captured: Tile, result: Tile, blank: Uint8Array): number {
  return 10 * Math.log10(power(truth, result, blank) / power(truth, captured, blank))
}

function power(truth: Tile, picture: Tile, blank: Uint8Array): number {
  const { width, height } = truth.rect
  const want = luminance(truth)
  const ratio = luminance(picture).map((y, i) => (blank[i] ? y / want[i] : 0))
  // A mean over blank pixels only: painted ones count neither above nor below the bar.
  const sum = blurred(ratio, width, height, SLOW_PX)
  const weight = blurred(Float32Array.from(blank), width, height, SLOW_PX)
  let [squares, count] = [0, 0]
  for (let i = 0; i < ratio.length; i++) {
    if (!blank[i]) continue
    squares += (ratio[i] - sum[i] / weight[i]) ** 2
    count++
  }
  if (count === 0) throw new RangeError('no blank paper here')
  return squares / count
}
