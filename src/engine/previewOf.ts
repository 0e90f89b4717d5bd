import type { SpaceName } from '../colour/spaces/SpaceName.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import { toPicture8 } from '../colour/toPicture8.js'
import type { Picture8 } from '../findings.js'
import type { Raster } from '../raster/Raster.js'
import { emptyTile } from '../raster/Tile.js'

/**
 * A small view of a derivative for people to look at: two rows about each block's middle, averaged across in linear
 * light. It looks at a `2 / factor` share of the pixels that an exact average would.
 * @param longestPx of the view
 */
export function previewOf({ width, height, data }: Raster, space: SpaceName, longestPx: number): Picture8 {
  const factor = Math.max(1, Math.ceil(Math.max(width, height) / longestPx))
  const { curves, matrix } = spaceTransform(space)
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const sums = new Float64Array(view.rect.width * 3)
  for (let j = 0; j < view.rect.height; j++) {
    const middle = Math.min(j * factor + Math.max(0, (factor >> 1) - 1), height - 1)
    const rows = Math.min(2, factor, height - middle)
    sums.fill(0)
    for (let y = middle; y < middle + rows; y++) {
      let from = y * width * 3
      for (let i = 0; i < sums.length; i += 3) {
        const end = Math.min(from + factor * 3, (y + 1) * width * 3)
        for (; from < end; from += 3) {
          sums[i] += curves[0][data[from]]
          sums[i + 1] += curves[1][data[from + 1]]
          sums[i + 2] += curves[2][data[from + 2]]
        }
      }
    }
    for (let i = 0; i < view.rect.width; i++) {
      const count = rows * Math.min(factor, width - i * factor)
      const [r, g, b] = [sums[i * 3] / count, sums[i * 3 + 1] / count, sums[i * 3 + 2] / count]
      const at = j * view.rect.width + i
      for (let c = 0; c < 3; c++) {
        view.planes[c][at] = matrix[c * 3] * r + matrix[c * 3 + 1] * g + matrix[c * 3 + 2] * b
      }
    }
  }
  return toPicture8(view)
}
