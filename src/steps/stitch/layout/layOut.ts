import type { Lens } from '../../../raster/warp/Lens.js'
import { asPlaneMap, composed, composedMaps, inverted, type PlaneMap } from '../../../raster/warp/PlaneMap.js'
import { after, moved, type Placement, rigid } from '../Placement.js'
import { halfExtent, lensOnDisk, toCapturePixels, toUprightPixels, type Upright } from '../views/Upright.js'

export interface Layout {
  width: number
  height: number
  /** From each capture's centred coordinates to the sheet's pixels; undefined where it has no place. */
  placements: (Placement | undefined)[]
}

/** Pixels that rounding may add to an extent without a further column or row of pixels. */
const SLACK_PX = 1e-6

/**
 * The union of all captures' extents, square to an axis, its first pixel at the union's top left corner.
 * @param angle of the axis, radians clockwise
 */
export function layOut(
  uprights: readonly Upright[],
  placements: readonly (Placement | undefined)[],
  angle: number,
): Layout {
  const squared = placements.map((placement) => placement && after(placement, rigid(-angle, 0, 0)))
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const [i, placement] of squared.entries()) {
    if (!placement) continue
    for (const [x, y] of outline(uprights[i], placement)) {
      x0 = Math.min(x0, x)
      x1 = Math.max(x1, x)
      y0 = Math.min(y0, y)
      y1 = Math.max(y1, y)
    }
  }
  return {
    width: Math.ceil(x1 - x0 - SLACK_PX),
    height: Math.ceil(y1 - y0 - SLACK_PX),
    // A pixel's centre lies half a pixel inside its edge.
    placements: squared.map((placement) => placement && after(placement, rigid(0, -x0 - 0.5, -y0 - 0.5))),
  }
}

/** Points of an edge that stand for it where a lens bends it. */
const EDGE_POINTS = 16

/** The outline of a placed capture, clockwise from its top left: its corners, and points between where a lens bends it. */
export function outline(upright: Upright, placement: Placement): [x: number, y: number][] {
  const [halfX, halfY] = halfExtent(upright)
  const corners = [
    [-halfX, -halfY],
    [halfX, -halfY],
    [halfX, halfY],
    [-halfX, halfY],
  ]
  const points = placement.from || placement.to ? EDGE_POINTS : 1
  return corners.flatMap(([x, y], k) => {
    const [nextX, nextY] = corners[(k + 1) % 4]
    return Array.from({ length: points }, (_, i) =>
      moved(placement, x + ((nextX - x) * i) / points, y + ((nextY - y) * i) / points),
    )
  })
}

/** From a capture's pixels on disk, where they would be seen without its lens, to the sheet's; and that lens. */
export function toSheet(upright: Upright, { map, from }: Placement): { toSheet: PlaneMap; lens?: Lens } {
  const toUpright = inverted(toCapturePixels(upright))
  const toCentred = inverted(toUprightPixels(upright))
  const toSheet = composedMaps(asPlaneMap(composed(toUpright, toCentred)), map)
  return from ? { toSheet, lens: lensOnDisk(upright, from) } : { toSheet }
}
