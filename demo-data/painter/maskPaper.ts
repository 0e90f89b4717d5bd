import type { Canvas, Place } from './Canvas.js'
import { fieldRow } from './fieldRow.js'
import { insideDistance } from './insideDistance.js'
import { boundsOf } from './layWash.js'
import { sampledField } from './sampledField.js'
import { smoothOutline } from './smoothOutline.js'

/**
 * Keeps the paper free inside an outline, as with masking fluid: washes laid later leave it out.
 * @param rounded rounds the outline's corners
 * @param wanderMm how far the brush strays from the outline
 */
export function maskPaper(canvas: Canvas, outline: readonly Place[], rounded = false, wanderMm = 0): void {
  const { width, height, pxPerMm, reserve, grain, noises } = canvas
  const line = rounded ? smoothOutline(outline, true) : outline
  const px = Float64Array.from(line.flatMap(([u, v]) => [u * width, v * height]))
  const rect = boundsOf(px, 2 + 2 * wanderMm * pxPerMm, width, height)
  if (!rect) return
  const wander = wanderMm * pxPerMm
  const scale = 1 / (4 * pxPerMm)
  const distance = sampledField(rect, rounded ? 2 : 1, (x, y) => {
    if (wander === 0) return insideDistance(px, x, y)
    const dx = wander * noises[0](x * scale, y * scale)
    const dy = wander * noises[1](x * scale, y * scale)
    return insideDistance(px, x + dx, y + dy)
  })
  const row = new Float32Array(rect.width)
  for (let y = rect.y; y < rect.y + rect.height; y++) {
    fieldRow(distance, y, row)
    for (let x = 0, at = y * width + rect.x; x < rect.width; x++, at++) {
      const inside = row[x] + 0.03 * pxPerMm * grain[at]
      reserve[at] = Math.max(reserve[at], Math.min(Math.max(inside + 0.5, 0), 1))
    }
  }
}
