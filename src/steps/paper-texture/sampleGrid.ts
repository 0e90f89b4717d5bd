import type { Rect } from '../../raster/Rect.js'

/**
 * Windows on a regular grid over an area, at most about `most` of them and never closer than half a window.
 * @param area in pixels
 * @param n window size in pixels
 * @param most number of windows aimed at
 */
export function sampleGrid(area: Rect, n: number, most: number): Rect[] {
  const step = Math.max(n / 2, Math.sqrt((area.width * area.height) / most))
  const along = (start: number, length: number) => {
    if (length < n) return []
    const count = Math.max(1, Math.floor((length - n) / step) + 1)
    const slack = length - n
    return Array.from({ length: count }, (_, i) =>
      Math.round(start + (count === 1 ? slack / 2 : (slack * i) / (count - 1))),
    )
  }
  const xs = along(area.x, area.width)
  return along(area.y, area.height).flatMap((y) => xs.map((x) => ({ x, y, width: n, height: n })))
}
