import { expect, it } from 'vitest'
import { powerSpectrum } from '../../../src/raster/fft/powerSpectrum.js'
import { sineWindow } from '../../../src/raster/fft/sineWindow.js'
import { plainDft2d } from './plainDft2d.js'

it('windows half their size apart add up to one', () => {
  for (const n of [32, 64, 128]) {
    const w = sineWindow(n)
    for (let i = 0; i < n / 2; i++) expect(w[i] ** 2 + w[i + n / 2] ** 2).toBeCloseTo(1, 6)
  }
})

it('is the power of the windowed samples less their weighted mean', () => {
  const n = 32
  const samples = Float32Array.from({ length: n * n }, (_, i) => Math.sin(i * i * 0.37) + 3)
  const w = sineWindow(n)
  const weight = (i: number) => w[Math.floor(i / n)] * w[i % n]
  let sum = 0
  let all = 0
  for (let i = 0; i < n * n; i++) {
    sum += weight(i) * samples[i]
    all += weight(i)
  }
  const re = Float64Array.from(samples, (v, i) => weight(i) * (v - sum / all))
  const plain = plainDft2d(re, new Float64Array(n * n), n)
  const power = powerSpectrum(samples, n)
  for (let i = 0; i < n * n; i++) {
    const expected = plain.re[i] ** 2 + plain.im[i] ** 2
    expect(Math.abs(power[i] - expected)).toBeLessThan(1e-4 * (1 + expected))
  }
})

it('sees nothing in an even window', () => {
  const power = powerSpectrum(new Float32Array(64 * 64).fill(-0.7), 64)
  for (const value of power) expect(value).toBeLessThan(1e-8)
})
