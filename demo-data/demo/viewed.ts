import { captureSource } from '../../src/colour/captureSource.js'
import type { SpaceName } from '../../src/colour/spaces/SpaceName.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { Rect } from '../../src/raster/Rect.js'
import type { Tile } from '../../src/raster/Tile.js'
import { resampled } from '../geometry/resampled.js'
import type { Transform } from '../Transform.js'

/**
 * A picture in a standard space seen on the painting's pixels.
 * @param rect in the painting's pixels; must lie inside the picture
 */
export function viewed(raster: Raster, space: SpaceName, fromPainting: Transform, rect: Rect): Tile {
  const all = { x: 0, y: 0, width: raster.width, height: raster.height }
  const { planes } = captureSource(raster, spaceTransform(space)).region(all)
  const [a, b, c, d, e, f] = fromPainting
  const shifted: Transform = [a, b, c + a * rect.x + b * rect.y, d, e, f + d * rect.x + e * rect.y]
  return { rect, planes: resampled(planes, all, shifted, rect.width, rect.height) as Tile['planes'] }
}
