import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import { distorted, type Lens, undistorted } from '../../../raster/warp/Lens.js'
import {
  type Affine,
  asPlaneMap,
  composed,
  composedMaps,
  mapPoint,
  type PlaneMap,
} from '../../../raster/warp/PlaneMap.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
import type { ReadContext } from '../../contract.js'
import type { Placement } from '../Placement.js'
import { lensOnDisk, toCapturePixels, toUprightPixels, type Upright } from '../views/Upright.js'
import type { View } from '../views/View.js'

/** Light of one window in three planes. */
export type WindowPlanes = Tile['planes']

/**
 * Square windows of a pair at full resolution, both captures on one grid: that of the first, seen without its lens.
 * @param places the windows' middles, centred coordinates of the first
 * @param sidePx an even number
 */
export async function readWindows(
  views: readonly View[],
  { first, second, map }: { first: number; second: number; map: Placement },
  places: readonly { x: number; y: number }[],
  sidePx: number,
  context: ReadContext,
): Promise<[first: WindowPlanes, second: WindowPlanes][]> {
  const [a, b] = [views[first].upright, views[second].upright]
  const { from, to } = map
  const grids = places.map(({ x, y }) => gridAt(from ? undistorted(from, x, y) : [x, y], sidePx))
  const gridsA = grids.map((grid) => asPlaneMap(composed(grid, toCapture(a))))
  const gridsB = grids.map((grid) =>
    composedMaps(composedMaps(asPlaneMap(grid), map.map), asPlaneMap(toCapture(b))),
  )
  const read = async (index: number, maps: readonly PlaneMap[], lens?: Lens) => {
    const capture = context.captures[index]
    const tiles = await context.regions(
      index,
      maps.map((grid) => readRect(grid, sidePx, capture, lens)),
    )
    const window: Rect = { x: 0, y: 0, width: sidePx, height: sidePx }
    return maps.map((grid, i) => warpTile(partSource(tiles[i], capture), grid, window, lens).planes)
  }
  const [planesA, planesB] = await Promise.all([
    read(first, gridsA, from && lensOnDisk(a, from)),
    read(second, gridsB, to && lensOnDisk(b, to)),
  ])
  return planesA.map((planes, i) => [planes, planesB[i]])
}

/** From window pixels to the first's centred coordinates: the place lies between the middle pixels. */
export const gridAt = ([x, y]: readonly [number, number], sidePx: number): Affine => [
  1,
  0,
  x - (sidePx - 1) / 2,
  0,
  1,
  y - (sidePx - 1) / 2,
]

export const toCapture = (upright: Upright): Affine =>
  composed(toUprightPixels(upright), toCapturePixels(upright))

/** Pixels around a window's outline that interpolation and the shift's search may reach. */
const REACH_PX = 14

function readRect(
  grid: PlaneMap,
  sidePx: number,
  { width, height }: { width: number; height: number },
  lens?: Lens,
): Rect {
  const corners = [
    [0, 0],
    [sidePx - 1, 0],
    [0, sidePx - 1],
    [sidePx - 1, sidePx - 1],
  ].map(([x, y]) => (lens ? distorted(lens, ...mapPoint(grid, x, y)) : mapPoint(grid, x, y)))
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const x0 = Math.max(0, Math.floor(Math.min(...xs)) - REACH_PX)
  const y0 = Math.max(0, Math.floor(Math.min(...ys)) - REACH_PX)
  const x1 = Math.min(width, Math.ceil(Math.max(...xs)) + REACH_PX + 1)
  const y1 = Math.min(height, Math.ceil(Math.max(...ys)) + REACH_PX + 1)
  return { x: x0, y: y0, width: x1 - x0, height: y1 - y0 }
}

/** A picture of which one part is at hand; what is asked beyond it repeats the part's edge. */
function partSource(tile: Tile, { width, height }: { width: number; height: number }): Source {
  const { rect } = tile
  return {
    width,
    height,
    region(asked) {
      const out = emptyTile(asked)
      for (let j = 0; j < asked.height; j++) {
        const y = Math.min(Math.max(asked.y + j - rect.y, 0), rect.height - 1)
        for (let i = 0; i < asked.width; i++) {
          const x = Math.min(Math.max(asked.x + i - rect.x, 0), rect.width - 1)
          for (let c = 0; c < 3; c++) {
            out.planes[c][j * asked.width + i] = tile.planes[c][y * rect.width + x]
          }
        }
      }
      return out
    },
  }
}
