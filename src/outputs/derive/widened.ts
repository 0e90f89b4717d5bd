import type { Rect } from '../../raster/Rect.js'
import type { Sharpening } from '../contract.js'
import { sharpeningHaloPx } from '../sharpening/sharpened.js'

/** A rectangle with the surroundings that any of some sharpenings looks at, inside the picture. */
export function widened(
  { x, y, width, height }: Rect,
  sharpenings: readonly (Sharpening | null)[],
  picture: { width: number; height: number },
): Rect {
  const halo = Math.max(0, ...sharpenings.map((one) => (one ? sharpeningHaloPx(one) : 0)))
  const left = Math.max(0, x - halo)
  const top = Math.max(0, y - halo)
  return {
    x: left,
    y: top,
    width: Math.min(picture.width, x + width + halo) - left,
    height: Math.min(picture.height, y + height + halo) - top,
  }
}
