import type { Source } from '../../../raster/Source.js'
import type { Tile } from '../../../raster/Tile.js'
import { undistorted } from '../../../raster/warp/Lens.js'
import { asPlaneMap, composed, composedMaps } from '../../../raster/warp/PlaneMap.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
import type { Placement } from '../Placement.js'
import { lensOnDisk, type Upright } from '../views/Upright.js'
import { gridAt, toCapture } from './readWindows.js'

/**
 * A square window of a pair at full resolution, both captures on one grid: that of the first, seen without its lens.
 * @param place the window's middle, centred coordinates of the first
 * @param sidePx an even number
 */
export function windowAt(
  sources: readonly [Source, Source],
  [a, b]: readonly [Upright, Upright],
  { map, from, to }: Placement,
  { x, y }: { x: number; y: number },
  sidePx: number,
): [first: Tile['planes'], second: Tile['planes']] {
  const grid = gridAt(from ? undistorted(from, x, y) : [x, y], sidePx)
  const onFirst = asPlaneMap(composed(grid, toCapture(a)))
  const onSecond = composedMaps(composedMaps(asPlaneMap(grid), map), asPlaneMap(toCapture(b)))
  const window = { x: 0, y: 0, width: sidePx, height: sidePx }
  return [
    warpTile(sources[0], onFirst, window, from && lensOnDisk(a, from)).planes,
    warpTile(sources[1], onSecond, window, to && lensOnDisk(b, to)).planes,
  ]
}
