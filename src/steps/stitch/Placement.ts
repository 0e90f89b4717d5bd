import { distorted, type Lens, undistorted } from '../../raster/warp/Lens.js'
import { composedMaps, invertedMap, mapPoint, type PlaneMap, slopesAt } from '../../raster/warp/PlaneMap.js'

/**
 * How one plane lies on another, in centred coordinates: a capture on the sheet, the sheet on a capture, or one capture
 * on another. Flatbed captures turn, shift and scale; camera frames lie in perspective, behind the lens they share.
 */
export interface Placement {
  map: PlaneMap
  /** What the given point was seen through: taken away before the map. */
  from?: Lens
  /** What the resulting point is seen through: added after it. */
  to?: Lens
}

export const STILL: Placement = { map: [1, 0, 0, 0, 1, 0, 0, 0] }

/** A turn by `angle` radians (clockwise on the picture, y points down), a scale, then a shift. */
export function rigid(angle: number, x: number, y: number, scale = 1): Placement {
  const [c, s] = [scale * Math.cos(angle), scale * Math.sin(angle)]
  return { map: [c, -s, x, s, c, y, 0, 0] }
}

export function moved({ map, from, to }: Placement, px: number, py: number): [x: number, y: number] {
  if (!from && !to) return mapPoint(map, px, py)
  const [u, v] = mapPoint(map, ...(from ? undistorted(from, px, py) : ([px, py] as const)))
  return to ? distorted(to, u, v) : [u, v]
}

/** `first`, then `second`. A lens between the two is one and the same, and cancels. */
export const after = (first: Placement, second: Placement): Placement =>
  placement(composedMaps(first.map, second.map), first.from, second.to)

export const backwards = ({ map, from, to }: Placement): Placement => placement(invertedMap(map), to, from)

const placement = (map: PlaneMap, from?: Lens, to?: Lens): Placement => ({
  map,
  ...(from ? { from } : {}),
  ...(to ? { to } : {}),
})

/** The turn about the first plane's middle, radians clockwise. */
export function angleOf({ map }: Placement): number {
  const [xx, xy, yx, yy] = slopesAt(map, 0, 0)
  return Math.atan2(yx - xy, xx + yy)
}

/** The second plane's pixels a pixel of the first, about the first's middle. */
export function scaleOf({ map }: Placement): number {
  const [xx, xy, yx, yy] = slopesAt(map, 0, 0)
  return Math.sqrt(Math.abs(xx * yy - xy * yx))
}
