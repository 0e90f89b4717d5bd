/**
 * Distance of a point to a closed outline, positive inside (even-odd).
 * @param outline x0, y0, x1, y1, ... in the point's unit
 */
export function insideDistance(outline: Float64Array, x: number, y: number): number {
  let nearest = Number.POSITIVE_INFINITY
  let inside = false
  const n = outline.length
  let ax = outline[n - 2]
  let ay = outline[n - 1]
  for (let i = 0; i < n; i += 2) {
    const bx = outline[i]
    const by = outline[i + 1]
    const ex = bx - ax
    const ey = by - ay
    const px = x - ax
    const py = y - ay
    let t = (px * ex + py * ey) / (ex * ex + ey * ey || 1)
    t = Math.min(Math.max(t, 0), 1)
    const qx = px - t * ex
    const qy = py - t * ey
    const squared = qx * qx + qy * qy
    if (squared < nearest) nearest = squared
    if (ay > y !== by > y && x < ax + (ex * (y - ay)) / ey) inside = !inside
    ax = bx
    ay = by
  }
  const distance = Math.sqrt(nearest)
  return inside ? distance : -distance
}
