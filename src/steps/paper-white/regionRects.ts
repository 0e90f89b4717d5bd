import { RequestError } from '../../errors.js'
import type { Rect } from '../../raster/Rect.js'
import { type Length, toPx } from '../../units.js'

/**
 * The named regions in whole pixels.
 * @throws RequestError where a region leaves the picture, is smaller than one window, or has no resolution to go by
 */
export function regionRects(
  regions: readonly { left: Length; top: Length; width: Length; height: Length }[],
  picture: { width: number; height: number },
  ppi: number | undefined,
  n: number,
): Rect[] {
  return regions.map((region, index) => {
    const where = `paper-white.blank.${index}`
    const inPx = Object.values(region).every(({ unit }) => unit === 'px')
    if (!inPx && !ppi) {
      throw new RequestError({
        where,
        what: 'the region is in millimetres, and the picture’s resolution is unknown',
        todo: 'Give the region in px, or state captures.ppi',
      })
    }
    const px = (length: Length) => Math.round(toPx(length, ppi ?? 1))
    const rect = { x: px(region.left), y: px(region.top), width: px(region.width), height: px(region.height) }
    const fits =
      rect.x >= 0 &&
      rect.y >= 0 &&
      rect.x + rect.width <= picture.width &&
      rect.y + rect.height <= picture.height &&
      Math.min(rect.width, rect.height) >= n
    if (!fits) {
      throw new RequestError({
        where,
        what: 'the region cannot be used',
        expected: `at least ${n} x ${n} px inside ${picture.width} x ${picture.height} px`,
        found: `${rect.width} x ${rect.height} px at ${rect.x}, ${rect.y}`,
      })
    }
    return rect
  })
}
