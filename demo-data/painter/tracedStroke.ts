import type { Rect } from '../../src/raster/Rect.js'
import { boundsOf } from './layWash.js'

/** The pixels about a line, each with its place along and across it. */
export interface Trace {
  rect: Rect
  /** Distance from the middle over the half width there, signed; 9 where no stroke is near. */
  across: Float32Array
  /** Pixels from the line's start. */
  along: Float32Array
  lengthPx: number
}

/**
 * Places of pixels about a line of varying width.
 * @param points x0, y0, x1, y1, ... in pixels
 * @param halfWidth pixels at each point
 * @returns undefined where the line misses the sheet
 */
export function tracedStroke(
  points: Float64Array,
  halfWidth: Float64Array,
  width: number,
  height: number,
): Trace | undefined {
  const widest = halfWidth.reduce((a, b) => Math.max(a, b), 0)
  const rect = boundsOf(points, widest * 1.3 + 2, width, height)
  if (!rect) return undefined
  const across = new Float32Array(rect.width * rect.height).fill(9)
  const along = new Float32Array(across.length)
  let lengthPx = 0
  for (let i = 0; i + 3 < points.length; i += 2) {
    const [ax, ay, bx, by] = points.subarray(i, i + 4)
    const ha = halfWidth[i / 2]
    const hb = halfWidth[i / 2 + 1]
    const ex = bx - ax
    const ey = by - ay
    const length = Math.hypot(ex, ey)
    if (length === 0) continue
    const reach = Math.max(ha, hb) * 1.3 + 2
    const x0 = Math.max(Math.floor(Math.min(ax, bx) - reach), rect.x)
    const x1 = Math.min(Math.ceil(Math.max(ax, bx) + reach), rect.x + rect.width - 1)
    const y0 = Math.max(Math.floor(Math.min(ay, by) - reach), rect.y)
    const y1 = Math.min(Math.ceil(Math.max(ay, by) + reach), rect.y + rect.height - 1)
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        const px = x - ax
        const py = y - ay
        let t = (px * ex + py * ey) / (length * length)
        t = Math.min(Math.max(t, 0), 1)
        const distance = Math.hypot(px - t * ex, py - t * ey)
        const half = ha + t * (hb - ha)
        if (distance > reach) continue
        const relative = distance / half
        const at = (y - rect.y) * rect.width + (x - rect.x)
        if (relative < Math.abs(across[at])) {
          across[at] = px * ey - py * ex < 0 ? -relative : relative
          along[at] = lengthPx + t * length
        }
      }
    }
    lengthPx += length
  }
  return { rect, across, along, lengthPx }
}
