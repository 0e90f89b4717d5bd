import type { Tile } from '../../src/raster/Tile.js'
import { blurred } from '../painter/blurred.js'
import { luminance } from './luminance.js'

/** What is slower than this is light or base tone, not relief. */
const SLOW_PX = 9
/** Blur that tells how near paint is, and the share of blank paper under it that counts as clear. */
const NEAR_PX = 3
const CLEAR = 0.9995

/**
 * How much relief a result leaves on blank paper, in decibels against the untouched capture: 0 = all, -20 = a hundredth of
 * its power.
 *
 * Formula: 10 log10 of the powers' ratio, each the variance of luminance / truth, less its slow part, over blank pixels
 * that lie clear of paint (edges would count as relief otherwise).
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
  const clear = blurred(Float32Array.from(blank), width, height, NEAR_PX)
  let [squares, count] = [0, 0]
  for (let i = 0; i < ratio.length; i++) {
    if (clear[i] < CLEAR) continue
    squares += (ratio[i] - sum[i] / weight[i]) ** 2
    count++
  }
  if (count === 0) throw new RangeError('no blank paper clear of paint here')
  return squares / count
}
