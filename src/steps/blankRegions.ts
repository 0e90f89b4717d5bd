import { z } from 'zod'
import { RequestError } from '../errors.js'
import type { Rect } from '../raster/Rect.js'
import { type Length, length, toPx } from '../units.js'

/** Schema of `blank`: found by itself, or regions of the sheet that are unpainted. */
export const blankSchema = z
  .union([z.literal('auto'), z.array(regionSchema()).min(1)], {
    error: 'expected auto, or a list of regions such as { left: 5mm, top: 5mm, width: 20mm, height: 10mm }',
  })
  .default('auto')
  .describe('where the sheet is unpainted: found by itself, or regions that are')

function regionSchema() {
  return z.strictObject({ left: length(), top: length(), width: length(), height: length() })
}

/**
 * The named regions in whole pixels.
 * @param regions lengths in mm, cm, in or px
 * @param ppi resolution of the picture; needed unless all is in px
 * @param n side of the smallest useful region in pixels
 * @param step the step's name, for messages
 * @throws RequestError where a region leaves the picture, is smaller than one window, or has no resolution to go by
 */
export function blankRegions(
  regions: readonly { left: Length; top: Length; width: Length; height: Length }[],
  picture: { width: number; height: number },
  ppi: number | undefined,
  n: number,
  step: string,
): Rect[] {
  return regions.map((region, index) => {
    const where = `${step}.blank.${index}`
    const px = (length: Length) => {
      if (length.unit !== 'px' && !ppi) {
        throw new RequestError({
          where,
          what: 'the region is in millimetres, and the picture’s resolution is unknown',
          todo: 'Give the region in px, or state captures.ppi',
        })
      }
      return Math.round(toPx(length, ppi ?? 1))
    }
    const rect = { x: px(region.left), y: px(region.top), width: px(region.width), height: px(region.height) }
    const { x, y, width, height } = rect
    if (x < 0 || y < 0 || x + width > picture.width || y + height > picture.height) {
      throw new RequestError({
        where,
        what: 'the region leaves the picture',
        expected: `a region inside ${picture.width} x ${picture.height} px`,
        found: `${width} x ${height} px at ${x}, ${y}`,
      })
    }
    if (width < n || height < n) {
      throw new RequestError({
        where,
        what: 'the region is too small to learn from',
        expected: `at least ${n} x ${n} px`,
        found: `${width} x ${height} px`,
      })
    }
    return rect
  })
}
