import { offerHeldRegions } from '../raster/heldRegion.js'
import type { Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import type { Source } from '../raster/Source.js'
import { emptyTile } from '../raster/Tile.js'
import { decodeGrid } from './decode/decodeGrid.js'
import { decodeMatrix, decodeMatrixHeld } from './decode/decodeMatrix.js'
import type { InputTransform } from './InputTransform.js'

/**
 * A picture on disk as linear light in the working space, decoded where it is asked.
 * @param raster encoded numbers
 * @param transform what they mean
 */
export function captureSource(raster: Raster, transform: InputTransform): Source {
  const { width, height } = raster
  const checkInside = ({ x, y, width: w, height: h }: Rect) => {
    if (x >= 0 && y >= 0 && x + w <= width && y + h <= height) return
    throw new RangeError(`${w} x ${h} pixels at ${x}, ${y} leave the picture of ${width} x ${height}`)
  }
  const source: Source = {
    width,
    height,
    region(rect) {
      checkInside(rect)
      const tile = emptyTile(rect)
      if (transform.kind === 'matrix') decodeMatrix(raster, transform, tile)
      else decodeGrid(raster, transform, tile)
      return tile
    },
  }
  if (transform.kind === 'matrix') {
    offerHeldRegions(source, (rect, planes) => {
      checkInside(rect)
      decodeMatrixHeld(raster, transform, rect, planes)
    })
  }
  return source
}
