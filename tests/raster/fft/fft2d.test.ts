import { describe, expect, it } from 'vitest'
import { fft2d, type TransformSize } from '../../../src/raster/fft/fft2d.js'
import { plainDft2d } from './plainDft2d.js'

const SIZES: TransformSize[] = [32, 64, 128, 256, 512]

function noise(count: number, seed: number): Float32Array {
  let state = seed
  return Float32Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 31 - 1
  })
}

describe('fft2d', () => {
  it.each(SIZES)('agrees with the sum that defines the transform, n = %i', (n) => {
    const re = noise(n * n, 1)
    const im = noise(n * n, 2)
    const plain = plainDft2d(Float64Array.from(re), Float64Array.from(im), n)
    fft2d(re, im, n)
    let worst = 0
    for (let i = 0; i < n * n; i++) {
      worst = Math.max(worst, Math.abs(re[i] - plain.re[i]), Math.abs(im[i] - plain.im[i]))
    }
    // Values are of the size n; single precision carries 6e-8 of that through log2(n^2) additions.
    expect(worst).toBeLessThan((n > 256 ? 1.5e-6 : 1e-6) * n)
  })

  it.each(SIZES)('is undone by itself with the parts exchanged, n = %i', (n) => {
    const before = [noise(n * n, 3), noise(n * n, 4)]
    const [re, im] = before.map((part) => part.slice())
    fft2d(re, im, n)
    fft2d(im, re, n)
    for (const [part, was] of [
      [re, before[0]],
      [im, before[1]],
    ]) {
      let worst = 0
      for (let i = 0; i < n * n; i++) worst = Math.max(worst, Math.abs(part[i] / (n * n) - was[i]))
      expect(worst).toBeLessThan(1e-6)
    }
  })

  it.each(SIZES)('gives a wave’s two lines exactly where its frequency says, n = %i', (n) => {
    const [kx, ky] = [5, n - 3]
    const re = Float32Array.from({ length: n * n }, (_, i) =>
      Math.cos((2 * Math.PI * (kx * (i % n) + ky * Math.floor(i / n))) / n),
    )
    const im = new Float32Array(n * n)
    fft2d(re, im, n)
    const expected = new Map([
      [ky * n + kx, (n * n) / 2],
      [(n - ky) * n + (n - kx), (n * n) / 2],
    ])
    let worst = 0
    for (let i = 0; i < n * n; i++) {
      worst = Math.max(worst, Math.abs(re[i] - (expected.get(i) ?? 0)), Math.abs(im[i]))
    }
    // The lines are n^2 / 2 high: 1.2e-7 of that, as much as single precision holds.
    expect(worst).toBeLessThan(1e-3 * Math.max(1, (n / 128) ** 2))
  })
})
