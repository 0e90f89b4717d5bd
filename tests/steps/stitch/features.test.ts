import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { cornerStrength, findCorners } from '../../../src/steps/stitch/place/features/findCorners.js'
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

/** The kernel in plain TypeScript: descriptors as whole numbers, so that sums are exact. */
function twin(first: Features, second: Features, i: number, j: number): number {
  const whole = (value: number) => Math.round(value * 2 ** 14)
  let sum = 0
  for (let k = 0; k < LENGTH; k++) {
    sum += whole(first.descriptors[i * LENGTH + k]) * whole(second.descriptors[j * LENGTH + k])
  }
  return Math.fround(sum) / 2 ** 28
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

describe('corners', () => {
  const random = seeded(77, 3)
  const [width, height] = [61, 47]
  const plane = () => Float32Array.from({ length: width * height }, () => random.between(-1, 1))
  const level = {
    width,
    height,
    cell: 4,
    planes: [plane(), plane(), plane()] as [Float32Array, Float32Array, Float32Array],
  }
  const strength = cornerStrength(level)

  it('are as strong as the structure tensor over 5 x 5 pixels says', () => {
    for (let y = 3; y < height - 3; y++) {
      for (let x = 3; x < width - 3; x++) {
        let [xx, xy, yy] = [0, 0, 0]
        for (const p of level.planes) {
          for (let j = y - 2; j <= y + 2; j++) {
            for (let i = x - 2; i <= x + 2; i++) {
              const at = j * width + i
              const [gx, gy] = [p[at + 1] - p[at - 1], p[at + width] - p[at - width]]
              xx += gx * gx
              xy += gx * gy
              yy += gy * gy
            }
          }
        }
        const want = (xx * yy - xy * xy) / (xx + yy)
        expect(Math.abs(strength[y * width + x] / want - 1)).toBeLessThan(1e-4)
      }
    }
  })

  it('are kept by how far the next clearly stronger one is', () => {
    const maxima: { x: number; y: number; value: number }[] = []
    for (let y = 4; y < height - 4; y++) {
      for (let x = 4; x < width - 4; x++) {
        const at = y * width + x
        const about = [at - 1, at + 1, at - width, at + width].map((k) => strength[k])
        if (about.every((value) => strength[at] > value)) maxima.push({ x, y, value: strength[at] })
      }
    }
    const reach = (one: (typeof maxima)[number]) =>
      Math.min(
        ...maxima
          .filter(({ value }) => 0.9 * value > one.value)
          .map(({ x, y }) => (x - one.x) ** 2 + (y - one.y) ** 2),
      )
    const wanted = 25
    expect(maxima.length).toBeGreaterThan(2 * wanted)
    expect(maxima.length).toBeLessThan(6 * wanted)
    const farthest = maxima.map(reach).sort((a, b) => b - a)
    const found = findCorners(level, wanted).map(([x, y]) =>
      maxima.find((one) => Math.abs(one.x - x) <= 0.5 && Math.abs(one.y - y) <= 0.5),
    )
    expect(found.map((one) => reach(one!))).toEqual(farthest.slice(0, wanted))
  })
})
