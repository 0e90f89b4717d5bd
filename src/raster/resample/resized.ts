import { kernels } from '../kernels/kernels.js'
import { padded } from '../padded.js'
import type { Rect } from '../Rect.js'
import type { Source } from '../Source.js'
import { emptyTile } from '../Tile.js'
import { resampleRows } from './resampleRows.js'
import { sourceRows } from './sourceRows.js'

/** True where nothing is resampled: every pixel of the result is one of the picture's. */
export function isCopy(crop: Rect, width: number, height: number): boolean {
  return (
    crop.width === width && crop.height === height && Number.isInteger(crop.x) && Number.isInteger(crop.y)
  )
}

/**
 * A picture resampled to another size, in the linear light it comes in. Reduces and enlarges each axis with a filter
 * of its own (see filters.ts). Same pixels, same bits, whatever the region asked for.
 * @param source any picture
 * @param crop what of it becomes the whole result, in its pixels, may be fractional; where it leaves the picture, the
 *   picture is taken as mirrored at its border
 * @param width pixels of the result
 * @param height pixels of the result
 */
export function resized(source: Source, crop: Rect, width: number, height: number): Source {
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      if (isCopy(crop, width, height)) {
        const { planes } = padded(source, { ...rect, x: rect.x + crop.x, y: rect.y + crop.y })
        return { rect, planes }
      }
      const tile = emptyTile(rect)
      resampleRows(sourceRows(source), [{ crop, width, height, rect }], (_, row, at, planeBytes) => {
        tile.planes.forEach((plane, c) => {
          const line = new Float32Array(kernels().memory.buffer, at + c * planeBytes, rect.width)
          plane.set(line, row * rect.width)
        })
      })
      return tile
    },
  }
}
