import type { Rect } from '../../raster/Rect.js'

/**
 * Small windows on a regular grid over an area.
 * @param area in pixels
 * @param n window size in pixels
 * @param most number of windows aimed at
 */
export function sampleRects(area: Rect, n: number, most: number): Rect[] {
  const step = Math.max(n, Math.sqrt((area.width * area.height) / most))
  const along = (start: number, length: number) => {
    if (length < n) return []
    const count = Math.max(1, Math.floor((length - n) / step) + 1)
    return Array.from({ length: count }, (_, i) =>
      Math.round(start + (length - n) * (count === 1 ? 0.5 : i / (count - 1))),
    )
  }
  const xs = along(area.x, area.width)
  return along(area.y, area.height).flatMap((y) => xs.map((x) => ({ x, y, width: n, height: n })))
}
