import type { Rect } from '../../../raster/Rect.js'

/** A window's side as a share of the frame's longer one, in pixels within bounds, a multiple of four. */
const WINDOW_SHARE = 1 / 60
const WINDOW_PX = { least: 16, most: 96 }

/**
 * Square windows on a regular grid from edge to edge of a picture.
 * @param most about how many
 */
export function windowsOver({ width, height }: { width: number; height: number }, most: number): Rect[] {
  const wanted = 4 * Math.round((Math.max(width, height) * WINDOW_SHARE) / 4)
  const side = Math.min(
    4 * Math.floor(Math.min(width, height) / 4),
    Math.max(WINDOW_PX.least, Math.min(WINDOW_PX.most, wanted)),
  )
  const step = Math.max(side, Math.sqrt((width * height) / most))
  const along = (length: number) => {
    const count = Math.max(1, Math.floor((length - side) / step) + 1)
    return Array.from({ length: count }, (_, i) =>
      Math.round(((length - side) * (count === 1 ? 0.5 : i)) / Math.max(1, count - 1)),
    )
  }
  return along(height).flatMap((y) => along(width).map((x) => ({ x, y, width: side, height: side })))
}
