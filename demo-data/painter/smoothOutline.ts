import type { Place } from './Canvas.js'

/**
 * A line through points, rounded (uniform Catmull-Rom), with `pieces` pieces from point to point.
 * @param closed whether the last point leads back to the first
 */
export function smoothOutline(points: readonly Place[], closed: boolean, pieces = 6): Place[] {
  const n = points.length
  const at = (i: number) => (closed ? points[((i % n) + n) % n] : points[Math.min(Math.max(i, 0), n - 1)])
  const out: Place[] = []
  const last = closed ? n : n - 1
  for (let i = 0; i < last; i++) {
    const [a, b, c, d] = [at(i - 1), at(i), at(i + 1), at(i + 2)]
    for (let k = 0; k < pieces; k++) {
      const t = k / pieces
      const mix = (axis: 0 | 1) =>
        0.5 *
        (2 * b[axis] +
          (c[axis] - a[axis]) * t +
          (2 * a[axis] - 5 * b[axis] + 4 * c[axis] - d[axis]) * t * t +
          (3 * b[axis] - a[axis] - 3 * c[axis] + d[axis]) * t * t * t)
      out.push([mix(0), mix(1)])
    }
  }
  if (!closed) out.push(points[n - 1])
  return out
}
