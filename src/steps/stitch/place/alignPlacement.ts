import { after, backwards, moved, type Placement, rigid } from '../Placement.js'
import { solve } from '../solve.js'
import { planeWeights } from '../views/planeWeights.js'
import { halfExtent } from '../views/Upright.js'
import type { Level, View } from '../views/View.js'

/** How well two captures agree once one is laid on the other. */
export interface Alignment {
  map: Placement
  /** Of the weighted structure in the common area, -1..1. */
  correlation: number
  /** Level pixels compared. */
  samples: number
  /** Finest pixels a level pixel at the level it was compared at. */
  cell: number
}

/** Level pixels used at most, evenly spread. */
const MOST_SAMPLES = 16_000
const ITERATIONS = 8
/** Level pixels of a correction that ends the iteration. */
const SETTLED_PX = 0.01

/**
 * Lays one capture on another, by a shift and a turn beyond the guess, by Gauss-Newton steps on the structure of their common area, from a guess, at one level.
 * Each plane weighs by how little is left of its difference, so what does not match (relief that flipped, noise) counts
 * little. Inverse compositional: the slopes are the first capture's and are taken once.
 * Source: S. Baker, I. Matthews, "Lucas-Kanade 20 years on", Int. J. Computer Vision 56(3), 2004, pp. 221-255,
 * doi:10.1023/B:VISI.0000011205.11775.fd (method; from memory).
 * @param guess from the first's centred coordinates to the second's
 */
export function alignPlacement(
  first: View,
  second: View,
  level: number,
  guess: Placement,
): Alignment | undefined {
  const a = first.levels[level]
  const b = second.levels[level]
  let map = guess
  let weights = [1, 1, 1]
  for (let i = 0; i < ITERATIONS; i++) {
    const sums = compare(first, second, a, b, map, weights)
    if (!sums) return undefined
    weights = planeWeights(sums.residuals, first.upright.turned === second.upright.turned)
    const step = solve(sums.normal, sums.right)
    if (!step || Math.hypot(step[0], step[1]) > 20 * a.cell || Math.abs(step[2]) > 0.05) return undefined
    map = after(backwards(rigid(step[2], step[0], step[1])), map)
    if (Math.hypot(step[0], step[1]) < SETTLED_PX * a.cell && Math.abs(step[2]) < 1e-5) break
  }
  const sums = compare(first, second, a, b, map, weights)
  if (!sums) return undefined
  return { map, correlation: sums.correlation, samples: sums.samples, cell: a.cell }
}

/** How well two captures agree as they lie, without moving either. */
export function agreement(first: View, second: View, level: number, map: Placement): Alignment | undefined {
  const [a, b] = [first.levels[level], second.levels[level]]
  const same = first.upright.turned === second.upright.turned
  const rough = compare(first, second, a, b, map, [1, 1, 1])
  if (!rough) return undefined
  const sums = compare(first, second, a, b, map, planeWeights(rough.residuals, same))
  return sums && { map, correlation: sums.correlation, samples: sums.samples, cell: a.cell }
}

function compare(first: View, second: View, a: Level, b: Level, map: Placement, weights: readonly number[]) {
  const area = commonBox(first, second, map, a)
  if (!area) return undefined
  const { cell } = a
  const stride = Math.max(
    1,
    Math.floor(Math.sqrt(((area.x1 - area.x0) * (area.y1 - area.y0)) / MOST_SAMPLES)),
  )
  const [halfX, halfY] = halfExtent(first.upright)
  const [halfX2, halfY2] = halfExtent(second.upright)
  const [m0, m1, m2, m3, m4, m5, m6, m7] = map.map
  const plain = m6 === 0 && m7 === 0 && !map.from && !map.to
  const normal = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ]
  const right = [0, 0, 0]
  const residuals = [0, 0, 0]
  let samples = 0
  let cross = 0
  let powerA = 0
  let powerB = 0
  for (let y = area.y0; y < area.y1; y += stride) {
    const py = (y + 0.5) * cell - halfY
    for (let x = area.x0; x < area.x1; x += stride) {
      const px = (x + 0.5) * cell - halfX
      let u = m0 * px + m1 * py + m2
      let v = m3 * px + m4 * py + m5
      if (!plain) [u, v] = moved(map, px, py)
      u = (u + halfX2) / cell - 0.5
      v = (v + halfY2) / cell - 0.5
      const [x0, y0] = [Math.floor(u), Math.floor(v)]
      if (x0 < 0 || y0 < 0 || x0 + 1 >= b.width || y0 + 1 >= b.height) continue
      const [fx, fy] = [u - x0, v - y0]
      const at = y0 * b.width + x0
      const i = y * a.width + x
      samples++
      for (let k = 0; k < 3; k++) {
        const p = b.planes[k]
        const f = a.planes[k]
        const value =
          (p[at] * (1 - fx) + p[at + 1] * fx) * (1 - fy) +
          (p[at + b.width] * (1 - fx) + p[at + b.width + 1] * fx) * fy
        const difference = value - f[i]
        const gx = (f[i + 1] - f[i - 1]) / (2 * cell)
        const gy = (f[i + a.width] - f[i - a.width]) / (2 * cell)
        const turn = gy * px - gx * py
        const w = weights[k]
        residuals[k] += difference * difference
        cross += w * value * f[i]
        powerA += w * f[i] * f[i]
        powerB += w * value * value
        normal[0][0] += w * gx * gx
        normal[0][1] += w * gx * gy
        normal[0][2] += w * gx * turn
        normal[1][1] += w * gy * gy
        normal[1][2] += w * gy * turn
        normal[2][2] += w * turn * turn
        right[0] += w * gx * difference
        right[1] += w * gy * difference
        right[2] += w * turn * difference
      }
    }
  }
  if (samples < 30) return undefined
  normal[1][0] = normal[0][1]
  normal[2][0] = normal[0][2]
  normal[2][1] = normal[1][2]
  return {
    normal,
    right,
    residuals: residuals.map((sum) => sum / samples),
    correlation: cross / Math.sqrt(powerA * powerB + 1e-30),
    samples,
  }
}

/** The first's level pixels that can have a partner, one pixel inside its border. */
function commonBox(first: View, second: View, map: Placement, { width, height, cell }: Level) {
  const [halfX, halfY] = halfExtent(first.upright)
  const [halfX2, halfY2] = halfExtent(second.upright)
  const back = backwards(map)
  const corners = [
    moved(back, -halfX2, -halfY2),
    moved(back, halfX2, -halfY2),
    moved(back, -halfX2, halfY2),
    moved(back, halfX2, halfY2),
  ]
  const [xs, ys] = [corners.map(([x]) => (x + halfX) / cell), corners.map(([, y]) => (y + halfY) / cell)]
  const x0 = Math.max(1, Math.floor(Math.min(...xs)))
  const x1 = Math.min(width - 1, Math.ceil(Math.max(...xs)))
  const y0 = Math.max(1, Math.floor(Math.min(...ys)))
  const y1 = Math.min(height - 1, Math.ceil(Math.max(...ys)))
  return x1 - x0 > 3 && y1 - y0 > 3 ? { x0, x1, y0, y1 } : undefined
}
