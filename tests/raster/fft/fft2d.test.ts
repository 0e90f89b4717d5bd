import { describe, expect, it } from 'vitest'
import { fft2d } from '../../../src/raster/fft/fft2d.js'
import type { WindowSize } from '../../../src/raster/fft/powerSpectrum.js'
import { plainDft2d } from './plainDft2d.js'

const SIZES: WindowSize[] = [32, 64, 128]

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
    expect(worst).toBeLessThan(1e-6 * n)
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
      for (let i = 0; i < n * n; i++) expect(Math.abs(part[i] / (n * n) - was[i])).toBeLessThan(1e-6)
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
    for (let i = 0; i < n * n; i++) {
      expect(Math.abs(re[i] - (expected.get(i) ?? 0))).toBeLessThan(1e-3)
      expect(Math.abs(im[i])).toBeLessThan(1e-3)
    }
  })
})
