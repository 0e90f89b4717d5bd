import { halfExtent } from '../../views/Upright.js'
import type { Level, View } from '../../views/View.js'

/** Places of one capture that can be told from others, each with what tells it. */
export interface Features {
  /** Centred coordinates, x and y by turns. */
  points: Float64Array
  /** `LENGTH` numbers a feature, of length 1. */
  descriptors: Float32Array
  count: number
}

/** Levels searched: of about this longest side, and the finer ones up to that. */
const LEAST_SIDE_PX = 100
const MOST_SIDE_PX = 720
/** Features kept at the finest level; coarser ones keep in proportion to their pixels' square root. */
const MOST_FEATURES = 600
/** A descriptor's samples across and down, and level pixels between them; colour is summed over two by two. */
const ACROSS = 8
const SPACING_PX = 3
/** Numbers a descriptor: luminance, and two planes of colour. */
export const LENGTH = ACROSS * ACROSS + 2 * (ACROSS / 2) ** 2
/** Weight of the colour planes against luminance. */
const COLOUR_WEIGHT = 1.5
const BORDER_PX = 4

/**
 * Corners of painted structure on several levels, each described by a patch of structure around it, turned to the patch's
 * own direction.
 * Source: M. Brown, R. Szeliski, S. Winder, "Multi-image matching using multi-scale oriented patches", Proc. CVPR 2005,
 * pp. 510-517, doi:10.1109/CVPR.2005.235 (method; from memory).
 */
export function findFeatures(view: View): Features {
  const points: number[] = []
  const descriptors: number[] = []
  for (const level of view.levels) {
    const side = Math.max(level.width, level.height)
    if (side < LEAST_SIDE_PX || (side > MOST_SIDE_PX && level !== view.levels.at(-1))) continue
    const wanted = Math.round(MOST_FEATURES * Math.min(1, Math.sqrt(side / MOST_SIDE_PX)))
    const [halfX, halfY] = halfExtent(view.upright)
    const direction = directions(level)
    for (const [x, y] of corners(level, wanted)) {
      const described = describe(level, x, y, direction(x, y))
      if (!described) continue
      points.push((x + 0.5) * level.cell - halfX, (y + 0.5) * level.cell - halfY)
      for (const value of described) descriptors.push(value)
    }
  }
  return {
    points: Float64Array.from(points),
    descriptors: Float32Array.from(descriptors),
    count: points.length / 2,
  }
}

/**
 * Level pixels where structure changes most in every direction, spread evenly: each is kept by how far the next stronger
 * one is.
 */
function corners({ width, height, planes }: Level, wanted: number): [x: number, y: number][] {
  const strength = strengthOf(width, height, planes)
  const found: { x: number; y: number; value: number }[] = []
  for (let y = BORDER_PX; y < height - BORDER_PX; y++) {
    for (let x = BORDER_PX; x < width - BORDER_PX; x++) {
      const at = y * width + x
      const value = strength[at]
      if (value <= 0 || value < strength[at - 1] || value < strength[at - width]) continue
      if (value <= strength[at + 1] || value <= strength[at + width]) continue
      found.push({ x, y, value })
    }
  }
  found.sort((a, b) => b.value - a.value)
  const best = found.slice(0, 6 * wanted)
  const radii = best.map(({ x, y, value }, i) => {
    let nearest = Number.POSITIVE_INFINITY
    for (let j = 0; j < i && 0.9 * best[j].value > value; j++) {
      nearest = Math.min(nearest, (best[j].x - x) ** 2 + (best[j].y - y) ** 2)
    }
    return nearest
  })
  return [...best.keys()]
    .sort((i, j) => radii[j] - radii[i])
    .slice(0, wanted)
    .map((i) => [
      best[i].x + vertex(strength, best[i], width, 1),
      best[i].y + vertex(strength, best[i], width, width),
    ])
}

/** Where between pixels a parabola through three values is highest. */
function vertex(
  values: Float32Array,
  { x, y }: { x: number; y: number },
  width: number,
  step: number,
): number {
  const at = y * width + x
  const [before, here, behind] = [values[at - step], values[at], values[at + step]]
  const bend = before - 2 * here + behind
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - behind) / (2 * bend))) : 0
}

/** Corner strength: determinant over trace of the structure tensor summed over squares of 5 pixels. */
function strengthOf(width: number, height: number, planes: Level['planes']): Float32Array {
  const products = [0, 1, 2].map(() => new Float32Array(width * height))
  const [xx, xy, yy] = products
  for (const plane of planes) {
    for (let y = 1; y < height - 1; y++) {
      for (let x = 1, i = y * width + 1; x < width - 1; x++, i++) {
        const gx = plane[i + 1] - plane[i - 1]
        const gy = plane[i + width] - plane[i - width]
        xx[i] += gx * gx
        xy[i] += gx * gy
        yy[i] += gy * gy
      }
    }
  }
  const sums = new Float32Array(width * height)
  for (const plane of products) {
    for (let y = 0; y < height; y++) {
      for (let x = 2, i = y * width + 2; x < width - 2; x++, i++) {
        sums[i] = plane[i - 2] + plane[i - 1] + plane[i] + plane[i + 1] + plane[i + 2]
      }
    }
    const [up, down] = [width, 2 * width]
    for (let y = 2; y < height - 2; y++) {
      for (let x = 0, i = y * width; x < width; x++, i++) {
        plane[i] = sums[i - down] + sums[i - up] + sums[i] + sums[i + up] + sums[i + down]
      }
    }
  }
  for (let i = 0; i < sums.length; i++) sums[i] = (xx[i] * yy[i] - xy[i] * xy[i]) / (xx[i] + yy[i] + 1e-12)
  return sums
}

/** The direction structure rises in about a place, over a wider neighbourhood. */
function directions({ width, height, planes: [light, red, blue] }: Level) {
  const REACH = 6
  const all = light.map((value, i) => value + COLOUR_WEIGHT * (red[i] - blue[i]))
  const weights = Float64Array.from({ length: REACH + 1 }, (_, i) => Math.exp(-(i * i) / 18))
  return (px: number, py: number): number => {
    const [x, y] = [Math.round(px), Math.round(py)]
    let [sumX, sumY] = [0, 0]
    for (let j = Math.max(1 - y, -REACH); j <= Math.min(height - 2 - y, REACH); j++) {
      for (let i = Math.max(1 - x, -REACH); i <= Math.min(width - 2 - x, REACH); i++) {
        const at = (y + j) * width + x + i
        const weight = weights[Math.abs(i)] * weights[Math.abs(j)]
        sumX += weight * (all[at + 1] - all[at - 1])
        sumY += weight * (all[at + width] - all[at - width])
      }
    }
    return Math.atan2(sumY, sumX)
  }
}

/** Structure around a place on a grid turned to its direction, mean 0 and length 1; undefined where too much is outside. */
function describe(level: Level, x: number, y: number, angle: number): Float32Array | undefined {
  const { width, height, planes } = level
  const [c, s] = [SPACING_PX * Math.cos(angle), SPACING_PX * Math.sin(angle)]
  const out = new Float32Array(LENGTH)
  const [bluesFrom, half] = [ACROSS * ACROSS + (ACROSS / 2) ** 2, ACROSS / 2]
  const middle = (ACROSS - 1) / 2
  let outside = 0
  for (let j = 0, k = 0; j < ACROSS; j++) {
    for (let i = 0; i < ACROSS; i++, k++) {
      const u = x + c * (i - middle) - s * (j - middle)
      const v = y + s * (i - middle) + c * (j - middle)
      if (u < 0.5 || v < 0.5 || u > width - 1.5 || v > height - 1.5) {
        outside++
        continue
      }
      const [x0, y0] = [Math.floor(u), Math.floor(v)]
      const [fx, fy] = [u - x0, v - y0]
      const at = y0 * width + x0
      const sample = (plane: Float32Array) =>
        (plane[at] * (1 - fx) + plane[at + 1] * fx) * (1 - fy) +
        (plane[at + width] * (1 - fx) + plane[at + width + 1] * fx) * fy
      out[k] = sample(planes[0])
      // Colour carries no more than a coarse grid shows: four of its samples are one.
      const to = ACROSS * ACROSS + (j >> 1) * half + (i >> 1)
      out[to] += (COLOUR_WEIGHT / 2) * sample(planes[1])
      out[to + bluesFrom - ACROSS * ACROSS] += (COLOUR_WEIGHT / 2) * sample(planes[2])
    }
  }
  if (outside > 4) return undefined
  let square = 0
  for (const part of [
    out.subarray(0, ACROSS * ACROSS),
    out.subarray(ACROSS * ACROSS, bluesFrom),
    out.subarray(bluesFrom),
  ]) {
    const mean = part.reduce((sum, value) => sum + value, 0) / part.length
    for (let i = 0; i < part.length; i++) {
      part[i] -= mean
      square += part[i] * part[i]
    }
  }
  if (square < 1e-9) return undefined
  const scale = 1 / Math.sqrt(square)
  for (let i = 0; i < LENGTH; i++) out[i] *= scale
  return out
}
