import type { Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import type { Source } from '../raster/Source.js'
import { emptyTile, type Tile } from '../raster/Tile.js'
import { decodeGrid } from './decode/decodeGrid.js'
import { decodeMatrix } from './decode/decodeMatrix.js'
import type { InputTransform } from './InputTransform.js'

/**
 * A picture on disk as linear light in the working space, decoded where it is asked.
 * @param raster encoded numbers
 * @param transform what they mean
 */
export function captureSource(raster: Raster, transform: InputTransform): Source {
  const { width, height } = raster
  return {
    width,
    height,
    region(rect: Rect): Tile {
      const inside =
        rect.x >= 0 && rect.y >= 0 && rect.x + rect.width <= width && rect.y + rect.height <= height
      if (!inside) {
        const { x, y, width: w, height: h } = rect
        throw new RangeError(`${w} x ${h} pixels at ${x}, ${y} leave the picture of ${width} x ${height}`)
      }
      const tile = emptyTile(rect)
      if (transform.kind === 'matrix') decodeMatrix(raster, transform, tile)
      else decodeGrid(raster, transform, tile)
      return tile
    },
  }
}
