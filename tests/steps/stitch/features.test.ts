import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { type Features, LENGTH } from '../../../src/steps/stitch/place/features/findFeatures.js'
import { allProducts, matchFeatures } from '../../../src/steps/stitch/place/features/matchFeatures.js'

/** Features at random places with descriptors of length 1. */
function featuresOf(count: number, seed: number): Features {
  const random = seeded(seed, 9)
  const descriptors = new Float32Array(count * LENGTH)
  for (let i = 0; i < count; i++) {
    const own = descriptors.subarray(i * LENGTH, (i + 1) * LENGTH)
    for (let k = 0; k < LENGTH; k++) own[k] = random.normal()
    const length = Math.hypot(...own)
    for (let k = 0; k < LENGTH; k++) own[k] /= length
  }
  const points = Float64Array.from({ length: 2 * count }, () => random.between(-400, 400))
  return { points, descriptors, count }
}

/** The kernel in plain TypeScript: four sums side by side in float32, then added. */
function twin(first: Features, second: Features, i: number, j: number): number {
  const f = Math.fround
  const sums = [0, 0, 0, 0]
  for (let k = 0; k < LENGTH; k++) {
    const product = f(first.descriptors[i * LENGTH + k] * second.descriptors[j * LENGTH + k])
    sums[k % 4] = f(sums[k % 4] + product)
  }
  return f(f(sums[0] + sums[1]) + f(sums[2] + sums[3]))
}

describe('products of descriptors', () => {
  it('agree with their twin to the bit', () => {
    const [first, second] = [featuresOf(7, 1), featuresOf(11, 2)]
    const products = allProducts(first, second)
    expect(products).toHaveLength(77)
    for (let i = 0; i < 7; i++) {
      for (let j = 0; j < 11; j++) expect(products[i * 11 + j]).toBe(twin(first, second, i, j))
    }
  })
})

describe('matches of features', () => {
  it('are those that are each other’s best and clearly so', () => {
    const first = featuresOf(20, 3)
    // The second shows the first's features in another order, a little changed; two of them twice, far apart.
    const order = [...Array(20).keys()].reverse().concat([4, 5])
    const random = seeded(4, 9)
    const second: Features = {
      points: Float64Array.from(order.flatMap((_, j) => [40 * j - 400, 13 * j])),
      descriptors: Float32Array.from(
        order.flatMap((i) => {
          const own = first.descriptors.subarray(i * LENGTH, (i + 1) * LENGTH)
          const changed = [...own].map((value) => value + 0.01 * random.normal())
          const length = Math.hypot(...changed)
          return changed.map((value) => value / length)
        }),
      ),
      count: 22,
    }
    const matches = matchFeatures(first, second, 1)
    expect(matches).toHaveLength(18)
    for (const { a, b } of matches) {
      const i = first.points.indexOf(a[0]) / 2
      expect(order[(b[0] + 400) / 40]).toBe(i)
      expect([4, 5]).not.toContain(i)
    }
  })
})
