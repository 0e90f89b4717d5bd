import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { cosineWindows } from '../../../src/steps/stitch/combine/cosineWindows.js'
import { FINE_COUNT, type FineDetail } from '../../../src/steps/stitch/combine/FineDetail.js'
import { learnFine } from '../../../src/steps/stitch/combine/learnFine.js'
import { FINE_REACH_PX, pictureOf } from '../../../src/steps/stitch/combine/pictureOf.js'

const rms = (values: ArrayLike<number>) =>
  Math.sqrt(Array.from(values).reduce((sum, value) => sum + value * value, 0) / values.length)
const less = (p: Float32Array, q: Float32Array) => p.map((value, i) => value - q[i])

/** The DCT-II as it is defined, transposed. */
function cosine(window: ArrayLike<number>): number[] {
  const wave = (k: number, i: number) =>
    (k === 0 ? Math.sqrt(1 / 8) : Math.sqrt(2 / 8)) * Math.cos((Math.PI * (2 * i + 1) * k) / 16)
  return Array.from({ length: 64 }, (_, at) => {
    const [u, v] = [Math.floor(at / 8), at % 8]
    let sum = 0
    for (let y = 0; y < 8; y++) for (let x = 0; x < 8; x++) sum += wave(u, x) * wave(v, y) * window[8 * y + x]
    return sum
  })
}

/** An orthonormal transform's inverse is its transpose: here, summed the same way round. */
function back(coefficients: ArrayLike<number>): number[] {
  const out = new Array<number>(64).fill(0)
  for (let at = 0; at < 64; at++) {
    const unit = new Array<number>(64).fill(0)
    unit[at] = 1
    const wave = cosine(unit)
    for (let k = 0; k < 64; k++) out[at] += wave[k] * coefficients[k]
  }
  return out
}

const random = seeded(7, 7)

describe('cosine windows', () => {
  it('are the transform as it is defined', () => {
    const side = 20
    const plane = Float32Array.from({ length: side * side }, () => random.normal())
    const windows = cosineWindows(plane, side, 4)
    expect(windows.length).toBe(16 * FINE_COUNT)
    const cut = Array.from({ length: 64 }, (_, i) => plane[(8 + Math.floor(i / 8)) * side + 4 + (i % 8)])
    const found = windows.subarray((2 * 4 + 1) * FINE_COUNT, (2 * 4 + 2) * FINE_COUNT)
    cosine(cut).forEach((value, i) => {
      expect(found[i]).toBeCloseTo(value, 4)
    })
  })
})

const flatFine: FineDetail = {
  ...{ turned: 0, readout: 1e-7, photon: 2e-6, luminanceShare: 0.7 },
  noise: Array.from({ length: FINE_COUNT }, (_, i) => 1.2 - i / 160),
  slopes: Array.from({ length: FINE_COUNT }, (_, i) => 1e-4 / (1 + i)),
  differing: Array.from({ length: FINE_COUNT }, (_, i) => (i % 8 > 4 || i >= 40 ? 0.3 : 0)),
  sharper: Array.from({ length: FINE_COUNT }, (_, i) => (i % 2 ? 1 : 0.5)),
}

/** One window as the kernel ought to make it, in double precision. */
function keptOf(mean: number[][], half: number[][], fine: FineDetail): { roots: number[][]; weight: number } {
  const W = [0.3, 0.6, 0.1]
  const [F, G] = [mean.map(cosine), half.map(cosine)]
  const level = F.map((f) => (f[0] / 8) ** 2)
  const variance = level.map((value) => fine.readout / Math.max(0.02, value) + fine.photon)
  const sum = W.reduce((total, w, c) => total + w * F[c][0], 0)
  const share = W.map((w, c) => (w * F[c][0]) / sum)
  const noise = share.reduce((total, s, c) => total + s * s * variance[c], 0)
  const light = Math.max(
    0.02,
    W.reduce((total, w, c) => total + w * level[c], 0),
  )
  const A = [0, 1, 2].map(() => new Array<number>(64).fill(0))
  const root = new Array<number>(64).fill(1)
  for (let i = 0; i < 64; i++) {
    const lum = share.reduce((total, s, c) => total + s * F[c][i], 0)
    const quiet = fine.noise[i] * noise
    const power = Math.max(0, lum * lum - quiet)
    const q = fine.differing[i] / 4
    const k = q > 0 ? (power * q * fine.sharper[i]) / (power * q + quiet + fine.slopes[i] * light) : 0
    root[i] = Math.sqrt(fine.noise[i] * (1 + k * k))
    if (i > 0)
      for (let c = 0; c < 3; c++) A[c][i] = (F[c][i] + k * G[c][i]) / root[i] / Math.sqrt(variance[c])
  }
  const axes = axesOf(A)
  const along = share.map((s, c) => s * Math.sqrt(variance[c]))
  const length = along.reduce((total, v) => total + v * v, 0)
  let count = 0
  const B = [0, 1, 2].map(() => new Array<number>(64).fill(0))
  for (const axis of axes) {
    const project = axis.reduce((total, v, c) => total + v * along[c], 0)
    const least = 3.2 ** 2 * (1 - ((1 - fine.luminanceShare) * project * project) / length)
    for (let i = 1; i < 64; i++) {
      const y = axis.reduce((total, v, c) => total + v * A[c][i], 0)
      if (y * y <= least) continue
      count++
      for (let c = 0; c < 3; c++) B[c][i] += axis[c] * y * root[i] * Math.sqrt(variance[c])
    }
  }
  B.forEach((plane, c) => {
    plane[0] = F[c][0]
  })
  return { roots: B.map(back), weight: 1 / (3 + count) }
}

/** Eigenvectors of the planes' products: each found by squaring the matrix over and over, then taken away. */
function axesOf(A: number[][]): number[][] {
  let matrix = A.map((p) => A.map((q) => p.reduce((sum, value, i) => sum + value * q[i], 0)))
  const axes: number[][] = []
  for (let n = 0; n < 2; n++) {
    let power = matrix
    for (let k = 0; k < 14; k++) {
      const product = power.map((row) => power.map((_, j) => row.reduce((s, v, m) => s + v * power[m][j], 0)))
      const trace = product[0][0] + product[1][1] + product[2][2]
      power = product.map((row) => row.map((value) => value / trace))
    }
    const largest = [0, 1, 2].reduce((best, j) => (power[j][j] > power[best][best] ? j : best), 0)
    const size = Math.hypot(...power[largest])
    const axis = power[largest].map((value) => value / size)
    axes.push(axis)
    const value = axis.reduce((s, v, i) => s + v * matrix[i].reduce((t, m, j) => t + m * axis[j], 0), 0)
    matrix = matrix.map((row, i) => row.map((m, j) => m - value * axis[i] * axis[j]))
  }
  const [p, q] = axes
  return [p, q, [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]]]
}

const near = { x: -3, y: 4, width: 25, height: 22 }
const rect = {
  ...{ x: near.x + FINE_REACH_PX, y: near.y + FINE_REACH_PX },
  ...{ width: near.width - 2 * FINE_REACH_PX, height: near.height - 2 * FINE_REACH_PX },
}
const paintOf = (noise: number): Tile['planes'] =>
  [0.5, 0.4, 0.25].map((light, c) =>
    Float32Array.from({ length: near.width * near.height }, (_, i) => {
      const edge = (i % near.width) + Math.floor(i / near.width) > 22 ? [1.6, 1.2, 1.4][c] : 1
      return light * edge + noise * random.normal()
    }),
  ) as Tile['planes']

describe('what of a pair is picture', () => {
  it('is what the plain computation gives', () => {
    const [a, b] = [paintOf(0.01), paintOf(0.01)]
    const across = Float32Array.from({ length: near.width * near.height }, () => 0.1 * random.normal())
    const found = pictureOf(a, b, across, near, rect, 0.7, flatFine)
    const light = (p: Tile['planes'], i: number) => 0.3 * p[0][i] + 0.6 * p[1][i] + 0.1 * p[2][i]
    const n = near.width * near.height
    const mean = [0, 1, 2].map(() => new Array<number>(n).fill(0))
    const half = [0, 1, 2].map(() => new Array<number>(n).fill(0))
    for (let i = 0; i < n; i++) {
      const s = (light(a, i) - light(b, i)) / (light(a, i) + light(b, i))
      const even = Math.max(0.6, 1 - 0.7 * (s * s + across[i] ** 2))
      for (let c = 0; c < 3; c++) {
        mean[c][i] = Math.sqrt((a[c][i] + b[c][i]) / 2 / even)
        half[c][i] = (Math.sqrt(a[c][i] / even) - Math.sqrt(b[c][i] / even)) / 2
      }
    }
    const bessel = (x: number) => {
      let [term, sum] = [1, 1]
      for (let k = 1; k < 30; k++) sum += term *= (x / 2 / k) ** 2
      return sum
    }
    const one = Array.from({ length: 8 }, (_, i) => bessel(2 * Math.sqrt(1 - ((2 * i) / 7 - 1) ** 2)))
    const sums = [0, 1, 2, 3].map(() => new Float64Array(n))
    // Windows at even places of the sheet, those that hold a pixel of the rectangle.
    for (let y = near.y; y + 8 <= near.y + near.height; y++) {
      for (let x = near.x; x + 8 <= near.x + near.width; x++) {
        if (x % 2 || y % 2 || x + 8 <= rect.x || y + 8 <= rect.y) continue
        if (x >= rect.x + rect.width || y >= rect.y + rect.height) continue
        const at = (i: number) => (y - near.y + Math.floor(i / 8)) * near.width + x - near.x + (i % 8)
        const cut = (plane: number[]) => Array.from({ length: 64 }, (_, i) => plane[at(i)])
        const { roots, weight } = keptOf(mean.map(cut), half.map(cut), flatFine)
        for (let i = 0; i < 64; i++) {
          const w = weight * one[i % 8] * one[Math.floor(i / 8)]
          for (let c = 0; c < 3; c++) sums[c][at(i)] += w * roots[c][i]
          sums[3][at(i)] += w
        }
      }
    }
    for (let j = 0; j < rect.height; j++) {
      for (let i = 0; i < rect.width; i++) {
        const from = (j + FINE_REACH_PX) * near.width + i + FINE_REACH_PX
        for (let c = 0; c < 3; c++) {
          const wanted = (sums[c][from] / sums[3][from]) ** 2
          expect(Math.abs(found[c][j * rect.width + i] - wanted)).toBeLessThan(2e-5)
        }
      }
    }
  })

  it('is all that both show where there is no noise', () => {
    const truth = paintOf(0)
    const inner = (planes: Tile['planes']) =>
      planes.map((plane) => {
        const out = new Float32Array(rect.width * rect.height)
        for (let j = 0; j < rect.height; j++) {
          const from = (j + FINE_REACH_PX) * near.width + FINE_REACH_PX
          out.set(plane.subarray(from, from + rect.width), j * rect.width)
        }
        return out
      })
    const faint = { ...flatFine, readout: 0, photon: 1e-11 }
    const same = pictureOf(truth, truth, undefined, near, rect, 0.7, faint)
    for (const [c, plane] of inner(truth).entries()) expect(rms(less(same[c], plane))).toBeLessThan(1e-4)
  })

  it('is without the noise of either, and edges stay', () => {
    const whole = { x: 0, y: 0, width: 96, height: 80 }
    const around = { x: -8, y: -8, width: 112, height: 96 }
    const planes = (noise: number, { x, width, height }: typeof whole) =>
      [0.5, 0.4, 0.3].map((level) =>
        Float32Array.from({ length: width * height }, (_, i) => {
          const edge = x + (i % width) > 48 ? 1.5 : 1
          return level * edge + noise * random.normal()
        }),
      ) as Tile['planes']
    const truth = planes(0, whole)
    const [a, b] = [planes(0.004, around), planes(0.004, around)]
    // Of a light's variance, an eighth over light is in the root of the mean of two.
    const fine = { ...flatFine, noise: flatFine.noise.map(() => 1), readout: 0.004 ** 2 / 8, photon: 0 }
    const clean = pictureOf(a, b, undefined, around, whole, 0, fine)
    for (let c = 0; c < 3; c++) {
      expect(rms(less(clean[c], truth[c]))).toBeLessThan((0.6 * 0.004) / Math.SQRT2)
      const step = (plane: Float32Array) => plane[40 * 96 + 49] - plane[40 * 96 + 48]
      expect(Math.abs(step(clean[c]) / step(truth[c]) - 1)).toBeLessThan(0.1)
    }
  })
})

describe('what is learned of a pair', () => {
  const side = 64
  /** A busy picture, seen twice under flipped relief, the second a little blurred. */
  const pair = (blur: number, readout: number, photon: number) =>
    Array.from({ length: 24 }, () => {
      const level = 0.1 + 0.7 * random.next()
      const steps = Array.from({ length: side * side }, () => (random.next() < 0.03 ? 0.7 : 1))
      const relief = Array.from({ length: side * side }, (_, i) => 0.04 * Math.sin((i % side) * 0.7))
      return [1, -1].map((sign) =>
        [1, 0.8, 0.6].map((tint) =>
          Float32Array.from({ length: side * side }, (_, i) => {
            const x = i % side
            const beside = (steps[x > 0 ? i - 1 : i] + steps[x < side - 1 ? i + 1 : i]) / 2
            const seen = sign > 0 ? steps[i] : (1 - blur) * steps[i] + blur * beside
            const light = level * tint * seen * (1 + sign * relief[i])
            return light + Math.sqrt(readout + photon * light) * random.normal()
          }),
        ),
      ) as [Tile['planes'], Tile['planes']]
    })

  it('is the noise of its captures, as it was put in', () => {
    for (const [readout, photon] of [
      [0, 1.6e-5],
      [4e-6, 4e-6],
    ]) {
      const fine = learnFine(pair(0, readout, photon), 0)!
      // Of the root of the mean of two: an eighth of one light's variance over light.
      for (const light of [0.15, 0.6]) {
        const found = fine.readout / light + fine.photon
        expect(found / ((readout / light + photon) / 8)).toBeGreaterThan(0.85)
        expect(found / ((readout / light + photon) / 8)).toBeLessThan(1.15)
      }
      expect(Math.max(...fine.noise.slice(1))).toBeLessThan(1.3)
      expect(Math.min(...fine.noise.slice(1))).toBeGreaterThan(0.7)
    }
  })

  it('is which of the two is the sharper, and nothing where neither is', () => {
    // Seven half waves across, none down.
    const finest = 7 * 8
    const sharp = learnFine(pair(0.3, 0, 4e-6), 0)!
    expect(sharp.differing[finest]).toBeGreaterThan(0.1)
    expect(sharp.sharper[finest]).toBeGreaterThan(0.7)
    const other = learnFine(
      pair(0.3, 0, 4e-6).map(([a, b]) => [b, a] as const),
      0,
    )!
    expect(other.sharper[finest]).toBeLessThan(-0.7)
    expect(learnFine(pair(0, 0, 4e-6), 0)!.differing[finest]).toBeLessThan(0.03)
  })

  it('is nothing where there is no noise or no sheet', () => {
    expect(learnFine(pair(0, 0, 0), 0)).toBeUndefined()
    expect(learnFine([], 0)).toBeUndefined()
  })
})
