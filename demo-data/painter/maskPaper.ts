import type { Canvas, Place } from './Canvas.js'
import { insideDistance } from './insideDistance.js'
import { boundsOf } from './layWash.js'
import { smoothOutline } from './smoothOutline.js'

/** Keeps the paper free inside an outline, as with masking fluid: washes laid later leave it out. */
export function maskPaper(canvas: Canvas, outline: readonly Place[], rounded = false): void {
  const { width, height, pxPerMm, reserve, grain } = canvas
  const line = rounded ? smoothOutline(outline, true) : outline
  const px = Float64Array.from(line.flatMap(([u, v]) => [u * width, v * height]))
  const rect = boundsOf(px, 2, width, height)
  if (!rect) return
  for (let y = rect.y; y < rect.y + rect.height; y++) {
    for (let x = rect.x; x < rect.x + rect.width; x++) {
      const at = y * width + x
      const inside = insideDistance(px, x, y) + 0.03 * pxPerMm * grain[at]
      reserve[at] = Math.max(reserve[at], Math.min(Math.max(inside + 0.5, 0), 1))
    }
  }
}
