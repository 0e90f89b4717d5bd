import { WORKING_TO_XYZ_D50 } from '../../src/colour/working.js'
import type { Tile } from '../../src/raster/Tile.js'

/** Luminance Y of a tile's pixels. */
export function luminance({ planes: [red, green, blue] }: Tile): Float32Array {
  const [, , , r, g, b] = WORKING_TO_XYZ_D50
  return red.map((value, i) => r * value + g * green[i] + b * blue[i])
}
