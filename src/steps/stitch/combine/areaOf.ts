import type { Rect } from '../../../raster/Rect.js'
import { FINE_REACH_PX } from './pictureOf.js'
import type { ReliefModel } from './ReliefModel.js'
import { reachOfSlopes } from './slopesAcross.js'

/** A rectangle with what combining looks at around it. */
export const withNeighbours = ({ x, y, width, height }: Rect): Rect => ({
  x: x - FINE_REACH_PX,
  y: y - FINE_REACH_PX,
  width: width + 2 * FINE_REACH_PX,
  height: height + 2 * FINE_REACH_PX,
})

/** What must be known of the lightings to combine a rectangle of the sheet; it may leave the sheet. */
export const areaOf = (rect: Rect, { crosswise }: ReliefModel): Rect =>
  crosswise ? reachOfSlopes(withNeighbours(rect)) : withNeighbours(rect)
