import { halfExtent } from '../../views/Upright.js'
import type { Level, View } from '../../views/View.js'
import { findCorners } from './findCorners.js'

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

/**
 * Corners of painted structure on several levels, each described by a patch of structure around it, turned to the patch's
 * own direction.
 * Source: M. Brown, R. Szeliski, S. Winder, "Multi-image matching using multi-scale oriented patches", Proc. CVPR 2005,
 * pp. 510-517, doi:10.1109/CVPR.2005.235 (method; from memory).
 */
export function findFeatures(view: View): Features {
  const points: number[] = []
  const found: Float32Array[] = []
  for (const level of view.levels) {
    const side = Math.max(level.width, level.height)
    if (side < LEAST_SIDE_PX || (side > MOST_SIDE_PX && level !== view.levels.at(-1))) continue
    const wanted = Math.round(MOST_FEATURES * Math.min(1, Math.sqrt(side / MOST_SIDE_PX)))
    const [halfX, halfY] = halfExtent(view.upright)
    const direction = directions(level)
    for (const [x, y] of findCorners(level, wanted)) {
      const described = describe(level, x, y, direction(x, y))
      if (!described) continue
      points.push((x + 0.5) * level.cell - halfX, (y + 0.5) * level.cell - halfY)
      found.push(described)
    }
  }
  const descriptors = new Float32Array(found.length * LENGTH)
  for (const [k, described] of found.entries()) descriptors.set(described, k * LENGTH)
  return { points: Float64Array.from(points), descriptors, count: found.length }
}

/** The direction structure rises in about a place, over a wider neighbourhood. */
function directions({ width, height, planes: [light, red, blue] }: Level) {
  const REACH = 6
  const all = new Float32Array(light.length)
  for (let i = 0; i < all.length; i++) all[i] = light[i] + COLOUR_WEIGHT * (red[i] - blue[i])
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
      out[k] = sampleAt(planes[0], width, at, fx, fy)
      // Colour carries no more than a coarse grid shows: four of its samples are one.
      const to = ACROSS * ACROSS + (j >> 1) * half + (i >> 1)
      out[to] += (COLOUR_WEIGHT / 2) * sampleAt(planes[1], width, at, fx, fy)
      out[to + bluesFrom - ACROSS * ACROSS] += (COLOUR_WEIGHT / 2) * sampleAt(planes[2], width, at, fx, fy)
    }
  }
  if (outside > 4) return undefined
  let square = 0
  const ends = [0, ACROSS * ACROSS, bluesFrom, LENGTH]
  for (let part = 0; part < 3; part++) {
    const [from, to] = [ends[part], ends[part + 1]]
    let mean = 0
    for (let i = from; i < to; i++) mean += out[i] / (to - from)
    for (let i = from; i < to; i++) {
      out[i] -= mean
      square += out[i] * out[i]
    }
  }
  if (square < 1e-9) return undefined
  const scale = 1 / Math.sqrt(square)
  for (let i = 0; i < LENGTH; i++) out[i] *= scale
  return out
}

const sampleAt = (plane: Float32Array, width: number, at: number, fx: number, fy: number): number =>
  (plane[at] * (1 - fx) + plane[at + 1] * fx) * (1 - fy) +
  (plane[at + width] * (1 - fx) + plane[at + width + 1] * fx) * fy
