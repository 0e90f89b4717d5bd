import { describe, expect, it } from 'vitest'
import { powerSpectrum } from '../../../src/raster/fft/powerSpectrum.js'
import { CONTINUED_FROM, continuation } from '../../../src/steps/paper-texture/continuation.js'
import { continueRelief } from '../../../src/steps/paper-texture/continueRelief.js'
import { meanSpectrum } from '../../../src/steps/paper-texture/spectrum.js'
import { noise } from './pictures.js'

/** Mean power of 64 x 64 windows whose rows are Markov: each pixel is `rho` times its left neighbour, and chance. */
function markov(rho: number): Float32Array {
  const random = noise(11)
  const powers = Array.from({ length: 200 }, () => {
    const plane = new Float32Array(64 * 64)
    for (let y = 0; y < 64; y++) {
      let value = random() / Math.sqrt(1 - rho * rho)
      for (let x = 0; x < 64; x++) {
        plane[y * 64 + x] = value
        value = rho * value + random()
      }
    }
    return powerSpectrum(plane, 64)
  })
  return meanSpectrum(powers)
}

describe('continuation', () => {
  it('foretells a Markov process from the nearest pixel alone, rho to the distance', () => {
    // The best linear prediction of a first-order autoregressive process (Yule 1927): rho^k times the last value.
    const { across, down } = continuation(markov(0.8))
    for (const [k, expected] of [0.8, 0.64, 0.512, 0.41].entries()) {
      const sum = across
        .subarray(k * CONTINUED_FROM, (k + 1) * CONTINUED_FROM)
        .reduce((total, weight) => total + weight, 0)
      expect(Math.abs(across[k * CONTINUED_FROM] - expected)).toBeLessThan(0.08)
      expect(Math.abs(sum - expected)).toBeLessThan(0.08)
    }
    // Nothing is alike from row to row.
    expect(Math.max(...down.map(Math.abs))).toBeLessThan(0.1)
  })
})

describe('continueRelief', () => {
  const area = { x: -40, y: -40, width: 160, height: 140 }
  const picture = { width: 80, height: 60 }
  const planes = (red: number) => {
    const random = noise(5)
    const light = Float32Array.from({ length: 160 * 140 }, () => -0.5 + 0.05 * random())
    return { light, ratios: new Float32Array(160 * 140).fill(red) }
  }
  const paper = { light: -0.5, red: 0, blue: 0 }

  it('dies away into the mean of each row, and leaves the picture as it is', () => {
    const { light, ratios } = planes(0)
    const before = light.slice()
    continueRelief(light, ratios, ratios, area, picture, continuation(markov(0.8)), paper)
    const row = 70 * 160
    let mean = 0
    for (let x = 40; x < 64; x++) mean += before[row + x] / 24
    expect(light[row]).toBeCloseTo(mean, 6)
    expect(light.subarray(row + 40, row + 120)).toEqual(before.subarray(row + 40, row + 120))
    expect(Math.abs(light[row + 39] - mean - 0.8 * (before[row + 40] - mean))).toBeLessThan(0.006)
  })

  it('leaves what was mirrored where paint reaches the edge', () => {
    const { light } = planes(0)
    const before = light.slice()
    const { ratios } = planes(0.4)
    continueRelief(light, ratios, ratios, area, picture, continuation(markov(0.8)), paper)
    expect(light).toEqual(before)
  })
})
