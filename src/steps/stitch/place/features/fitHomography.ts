import type { PlaneMap } from '../../../../raster/warp/PlaneMap.js'
import { solve } from '../../solve.js'

export interface PointMatch {
  a: readonly [x: number, y: number]
  b: readonly [x: number, y: number]
}

/**
 * The homography that takes points nearest to their partners, from four pairs on: least squares of the equations made
 * linear, coordinates brought to mean 0 and mean distance sqrt(2) first.
 * @returns undefined where the pairs fix none
 * Source: R. I. Hartley, "In defense of the eight-point algorithm", IEEE Trans. PAMI 19(6), 1997, pp. 580-593,
 * doi:10.1109/34.601246 (normalisation; from memory).
 */
export function fitHomography(
  pairs: readonly PointMatch[],
  weights?: readonly number[],
): PlaneMap | undefined {
  const [na, nb] = [normalisation(pairs.map(({ a }) => a)), normalisation(pairs.map(({ b }) => b))]
  const normal = Array.from({ length: 8 }, () => new Array<number>(8).fill(0))
  const right = new Array<number>(8).fill(0)
  const row = new Array<number>(8)
  const add = (target: number, weight: number) => {
    for (let i = 0; i < 8; i++) {
      right[i] += weight * row[i] * target
      for (let k = 0; k < 8; k++) normal[i][k] += weight * row[i] * row[k]
    }
  }
  for (const [n, { a, b }] of pairs.entries()) {
    const [x, y] = [(a[0] - na.x) * na.scale, (a[1] - na.y) * na.scale]
    const [u, v] = [(b[0] - nb.x) * nb.scale, (b[1] - nb.y) * nb.scale]
    const weight = weights?.[n] ?? 1
    row.splice(0, 8, x, y, 1, 0, 0, 0, -u * x, -u * y)
    add(u, weight)
    row.splice(0, 8, 0, 0, 0, x, y, 1, -v * x, -v * y)
    add(v, weight)
  }
  const h = solve(normal, right)
  if (!h) return undefined
  // Back from normalised coordinates: shift and scale before and after.
  const g = h[6] * na.scale
  const k = h[7] * na.scale
  const w = 1 - g * na.x - k * na.y
  if (!(Math.abs(w) > 1e-9)) return undefined
  const line = (p: number, q: number, r: number, middle: number) => {
    const [x, y] = [(p * na.scale) / nb.scale + middle * g, (q * na.scale) / nb.scale + middle * k]
    return [x, y, (r - p * na.scale * na.x - q * na.scale * na.y) / nb.scale + middle * w]
  }
  const matrix = [...line(h[0], h[1], h[2], nb.x), ...line(h[3], h[4], h[5], nb.y), g, k]
  return matrix.map((value) => value / w) as PlaneMap
}

function normalisation(points: readonly (readonly [number, number])[]) {
  const mean = (axis: 0 | 1) => points.reduce((sum, point) => sum + point[axis], 0) / points.length
  const [x, y] = [mean(0), mean(1)]
  const distance =
    points.reduce((sum, point) => sum + Math.hypot(point[0] - x, point[1] - y), 0) / points.length
  return { x, y, scale: distance > 0 ? Math.SQRT2 / distance : 1 }
}
