import type { Tile } from '../../src/raster/Tile.js'
import { blurred } from '../painter/blurred.js'
import { luminance } from './luminance.js'

const SLOW_PX = 9

/**
 * How much of the granulation a result keeps: 1 = all of it.
 *
 * Formula: the slope of ln Y against the granulation plane over painted pixels, both less their slow parts, in the result
 * over the truth. Relief follows the surface's slope and granulation its height; the two are uncorrelated.
 * @param granulation share per pixel, as in the painting, of the tile's size
 * @param blank 1 where the tile is unpainted
 */
export function granulationKept(
  truth: Tile,
  result: Tile,
  granulation: Float32Array,
  blank: Uint8Array,
): number {
  return slope(result, granulation, blank) / slope(truth, granulation, blank)
}

function slope(picture: Tile, granulation: Float32Array, blank: Uint8Array): number {
  const { width, height } = picture.rect
  const fast = (plane: Float32Array) => {
    const slow = blurred(plane, width, height, SLOW_PX)
    return plane.map((value, i) => value - slow[i])
  }
  const log = fast(luminance(picture).map((y) => Math.log(Math.max(y, 1e-4))))
  const settled = fast(granulation)
  let [cross, square] = [0, 0]
  for (let i = 0; i < log.length; i++) {
    if (blank[i]) continue
    cross += log[i] * settled[i]
    square += settled[i] * settled[i]
  }
  return cross / square
}
