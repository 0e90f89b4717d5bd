import { kernels, scratch } from '../../../../raster/kernels/kernels.js'
import { type Features, LENGTH } from './findFeatures.js'

/** A feature of one capture and the one of another that resembles it most. */
export interface FeatureMatch {
  a: readonly [x: number, y: number]
  b: readonly [x: number, y: number]
  /** How much nearer the best is than the next: 0 clear, 1 none. */
  ratio: number
}

/** A best match must be nearer than the next by this, unless the two are one place at two levels. */
const MOST_RATIO = 0.85
/** The next best nearer than this to the best, in centred pixels of the coarsest level's cells, is the same place. */
const SAME_PLACE_CELLS = 6

/**
 * Features of two captures that are each other's best, and clearly better than the next best elsewhere.
 * @param cellPx centred pixels a cell of the coarsest level
 * Source of the ratio rule: D. G. Lowe, "Distinctive image features from scale-invariant keypoints", Int. J. Computer Vision
 * 60(2), 2004, pp. 91-110, doi:10.1023/B:VISI.0000029664.99615.94 (from memory; each other's best as well).
 */
export function matchFeatures(first: Features, second: Features, cellPx: number): FeatureMatch[] {
  const products = allProducts(first, second)
  const reach = (SAME_PLACE_CELLS * cellPx) ** 2
  const bestOfSecond = new Int32Array(second.count).fill(-1)
  const bestValue = new Float32Array(second.count).fill(-1)
  for (let i = 0, at = 0; i < first.count; i++) {
    for (let j = 0; j < second.count; j++, at++) {
      if (products[at] <= bestValue[j]) continue
      bestValue[j] = products[at]
      bestOfSecond[j] = i
    }
  }
  const matches: FeatureMatch[] = []
  for (let i = 0; i < first.count; i++) {
    const row = products.subarray(i * second.count, (i + 1) * second.count)
    let best = 0
    for (let j = 1; j < row.length; j++) if (row[j] > row[best]) best = j
    if (bestOfSecond[best] !== i) continue
    const [bx, by] = [second.points[2 * best], second.points[2 * best + 1]]
    let next = -1
    for (let j = 0; j < row.length; j++) {
      if (row[j] <= next) continue
      if ((second.points[2 * j] - bx) ** 2 + (second.points[2 * j + 1] - by) ** 2 <= reach) continue
      next = row[j]
    }
    // Distances of descriptors of length 1: |a - b|^2 = 2 - 2 a.b.
    const ratio = Math.sqrt(Math.max(0, 1 - row[best]) / Math.max(1e-9, 1 - next))
    if (ratio > MOST_RATIO) continue
    matches.push({ a: [first.points[2 * i], first.points[2 * i + 1]], b: [bx, by], ratio })
  }
  return matches
}

/** A descriptor's numbers lie between -1 and 1, and its length is 1: sums of products stay below 2^28. */
const WHOLE = 2 ** 14

/** Products of all descriptors with all, to about 1e-4: row by row, one a feature of the first. */
export function allProducts(first: Features, second: Features): Float32Array {
  const [a, b, out] = scratch(
    2 * first.descriptors.length,
    2 * second.descriptors.length,
    4 * first.count * second.count,
  )
  const { memory, allProducts: multiply } = kernels()
  for (const [at, { descriptors }] of [
    [a, first],
    [b, second],
  ] as const) {
    const whole = new Int16Array(memory.buffer, at, descriptors.length)
    for (let i = 0; i < whole.length; i++) whole[i] = Math.round(descriptors[i] * WHOLE)
  }
  multiply(a, first.count, b, second.count, LENGTH, 1 / WHOLE ** 2, out)
  return new Float32Array(memory.buffer, out, first.count * second.count).slice()
}
