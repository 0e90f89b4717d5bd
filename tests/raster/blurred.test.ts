import { expect, it } from 'vitest'
import { seeded } from '../../demo-data/painter/seeded.js'
import { blurred } from '../../src/raster/blurred.js'

const random = seeded(9, 1)

/** Three running means along one axis in plain TypeScript, each over what the plane holds. */
function twin(plane: Float32Array, width: number, height: number, radii: readonly number[]): Float32Array {
  let values = plane
  for (const [stepX, stepY] of [
    [0, 1],
    [1, 0],
  ]) {
    for (const radius of radii) {
      const from = values
      values = from.map((_, at) => {
        const [x, y] = [at % width, Math.floor(at / width)]
        let [sum, count] = [0, 0]
        for (let k = -radius; k <= radius; k++) {
          const [u, v] = [x + k * stepX, y + k * stepY]
          if (u < 0 || v < 0 || u >= width || v >= height) continue
          sum += from[v * width + u]
          count++
        }
        return sum / count
      })
    }
  }
  return values
}

// n = 2 r + 1 values have the variance (n^2 - 1) / 12: 2/3 for r = 1, 2 for 2, 4 for 3, 20/3 for 4, 10 for 5.
it.each([
  [0.8, [1]],
  [1, [1, 1]],
  [2, [2, 1, 1]],
  [5, [5, 5, 4]],
])('sigma %f is running means, the borders included', (sigmaPx, radii) => {
  for (const [width, height] of [
    [40, 24],
    [37, 23],
    [9, 700],
    [6, 3],
  ]) {
    const plane = Float32Array.from({ length: width * height }, () => random.between(-4, 0))
    const want = twin(plane, width, height, radii)
    const got = blurred(plane, width, height, sigmaPx)
    const worst = got.reduce((most, value, i) => Math.max(most, Math.abs(value - want[i])), 0)
    expect(worst).toBeLessThan(2e-6)
  }
})

it('has the variance asked for, and leaves a flat plane flat', () => {
  const size = 101
  for (const sigmaPx of [3, 5, 6.5]) {
    const impulse = new Float32Array(size * size)
    impulse[50 * size + 50] = 1
    const spread = blurred(impulse, size, size, sigmaPx)
    let variance = 0
    for (const [i, value] of spread.entries()) variance += value * ((i % size) - 50) ** 2
    // One radius more changes the variance by 2 (r + 1) / 3: it is as near as that allows.
    const step = (2 * Math.ceil(sigmaPx)) / 3
    expect(Math.abs(variance - sigmaPx ** 2)).toBeLessThan(step / 2 + 1e-3)
    for (const value of blurred(new Float32Array(size * size).fill(0.3), size, size, sigmaPx)) {
      expect(Math.abs(value - 0.3)).toBeLessThan(1e-7)
    }
  }
})
