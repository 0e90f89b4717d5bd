import { type Affine, composed, inverted } from '../../../raster/warp/PlaneMap.js'
import { after, asAffine, moved, type Rigid } from '../Rigid.js'
import { halfExtent, toCapturePixels, toUprightPixels, type Upright } from '../views/Upright.js'

export interface Layout {
  width: number
  height: number
  /** From each capture's centred coordinates to the sheet's pixels; undefined where it has no place. */
  placements: (Rigid | undefined)[]
}

/** Pixels that rounding may add to an extent without a further column or row of pixels. */
const SLACK_PX = 1e-6

/** The union of all captures' extents, square to their mean axis, its first pixel at the union's top left corner. */
export function layOut(uprights: readonly Upright[], placements: readonly (Rigid | undefined)[]): Layout {
  const angles = placements.filter((placement) => placement !== undefined).map(({ angle }) => angle)
  const mean = angles.reduce((sum, angle) => sum + angle, 0) / angles.length
  const squared = placements.map((placement) => placement && after(placement, { angle: -mean, x: 0, y: 0 }))
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
    placements: squared.map(
      (placement) =>
        placement && { angle: placement.angle, x: placement.x - x0 - 0.5, y: placement.y - y0 - 0.5 },
    ),
  }
}

/** The outer corners of a placed capture, clockwise from its top left. */
export function outline(upright: Upright, placement: Rigid): [x: number, y: number][] {
  const [halfX, halfY] = halfExtent(upright)
  return [
    moved(placement, -halfX, -halfY),
    moved(placement, halfX, -halfY),
    moved(placement, halfX, halfY),
    moved(placement, -halfX, halfY),
  ]
}

/** From a capture's pixels on disk to the sheet's. */
export function toSheet(upright: Upright, placement: Rigid): Affine {
  const toUpright = inverted(toCapturePixels(upright))
  const toCentred = inverted(toUprightPixels(upright))
  return composed(composed(toUpright, toCentred), asAffine(placement))
}
