import { describe, expect, it } from 'vitest'
import { powerSpectrum } from '../../../src/raster/fft/powerSpectrum.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { colourNoise } from '../../../src/steps/paper-texture/colourNoise.js'
import { continuation } from '../../../src/steps/paper-texture/continuation.js'
import { logLuminance } from '../../../src/steps/paper-texture/logLuminance.js'
import { paperLook } from '../../../src/steps/paper-texture/paperLook.js'
import type { ReliefFilter } from '../../../src/steps/paper-texture/ReliefFilter.js'
import { meanSpectrum } from '../../../src/steps/paper-texture/spectrum.js'
import { withoutRelief } from '../../../src/steps/paper-texture/withoutRelief.js'
import { tileSource, wholeTile } from '../../helpers/readContext.js'
import { sheet, unevenness } from './pictures.js'
import { plainFilter } from './plainFilter.js'

function reliefOf(blank: Tile, n: 16 | 32 | 64): Float32Array {
  const source = tileSource(blank)
  const powers: Float32Array[] = []
  for (let y = 0; y + n <= source.height; y += n / 2) {
    for (let x = 0; x + n <= source.width; x += n / 2) {
      powers.push(powerSpectrum(logLuminance(source.region({ x, y, width: n, height: n })), n))
    }
  }
  return meanSpectrum(powers)
}

function filterFor(blank: Tile): ReliefFilter {
  return {
    scales: [
      { n: 32, step: 12, relief: reliefOf(blank, 32) },
      { n: 16, step: 8, relief: reliefOf(blank, 16) },
    ],
    pilotOver: 1.5,
    pilotBareOver: 3,
    finalOver: 1,
    finalBareOver: 1.3,
    towardsCommon: 0.3,
    beyond: continuation(reliefOf(blank, 64)),
    ridge: 0.002,
    trustFloor: 0.02,
    noise: colourNoise([blank], [0, 0]),
    noiseOver: 1.8,
    tint: [0, 0],
    amount: 1,
    keptInPaint: 0,
    paper: paperLook([blank], [0, 0]),
  }
}

describe('withoutRelief', () => {
  const blank = sheet(160, 128, { sensor: 0.01 })

  it('agrees with its plain twin', () => {
    const picture = sheet(64, 48, { painted: true, sensor: 0.01 })
    const filter: ReliefFilter = { ...filterFor(blank), tint: [0.1, -0.2], amount: 0.9, keptInPaint: 0.4 }
    const fast = wholeTile(withoutRelief(tileSource(picture), filter))
    const plain = plainFilter(picture, filter)
    for (let c = 0; c < 3; c++) {
      for (let i = 0; i < fast.planes[c].length; i++) {
        // Single precision through two stages of transforms and quotients.
        expect(Math.abs(fast.planes[c][i] / plain.planes[c][i] - 1)).toBeLessThan(2e-4)
      }
    }
  })

  it('gives the same bits in whatever rectangle a pixel is asked for', () => {
    const source = tileSource(sheet(300, 230, { painted: true }))
    const clean = withoutRelief(source, filterFor(blank))
    const whole = wholeTile(clean)
    for (const rect of [
      { x: 0, y: 0, width: 300, height: 230 },
      { x: 16, y: 32, width: 64, height: 48 },
      { x: 37, y: 101, width: 91, height: 5 },
      { x: 299, y: 229, width: 1, height: 1 },
      { x: 48, y: 0, width: 33, height: 230 },
    ]) {
      const tile = clean.region(rect)
      tile.planes.forEach((plane, c) => {
        for (let y = 0; y < rect.height; y++) {
          const from = (rect.y + y) * 300 + rect.x
          expect(plane.subarray(y * rect.width, (y + 1) * rect.width)).toEqual(
            whole.planes[c].subarray(from, from + rect.width),
          )
        }
      })
    }
  })

  it('keeps even colour even, and colour ratios as they were where their noise is not known', () => {
    const filter = { ...filterFor(blank), noise: undefined }
    const even = sheet(96, 96, { relief: 0 })
    const clean = wholeTile(withoutRelief(tileSource(even), filter))
    for (let c = 0; c < 3; c++) {
      for (let i = 0; i < 96 * 96; i++) {
        expect(Math.abs(clean.planes[c][i] / even.planes[c][i] - 1)).toBeLessThan(1e-5)
      }
    }
    const picture = sheet(96, 96, { painted: true })
    const result = wholeTile(withoutRelief(tileSource(picture), filter))
    for (let i = 0; i < 96 * 96; i++) {
      const ratio = (tile: Tile) => tile.planes[0][i] / tile.planes[2][i]
      expect(Math.abs(ratio(result) / ratio(picture) - 1)).toBeLessThan(1e-6)
    }
  })

  it('takes the noise out of colour ratios and leaves the edges between colours', () => {
    const clean = sheet(192, 192, { relief: 0, painted: true })
    const noisy = sheet(192, 192, { painted: true, sensor: 0.01 })
    const result = wholeTile(withoutRelief(tileSource(noisy), filterFor(blank)))
    /** RMS of log2 red/blue against the sheet without relief and noise, over a rectangle. */
    const off = (tile: Tile, x0: number, y0: number, x1: number, y1: number) => {
      let squares = 0
      for (let y = y0; y < y1; y++) {
        for (let x = x0; x < x1; x++) {
          const i = y * 192 + x
          const ratio = ({ planes }: Tile) => Math.log2(planes[0][i] / planes[2][i])
          squares += (ratio(tile) - ratio(clean)) ** 2
        }
      }
      return Math.sqrt(squares / ((x1 - x0) * (y1 - y0)))
    }
    expect(off(result, 10, 110, 180, 180) / off(noisy, 10, 110, 180, 180)).toBeLessThan(0.3)
    // Across the blue square's left edge.
    expect(off(result, 92, 60, 102, 90) / off(noisy, 92, 60, 102, 90)).toBeLessThan(1)
  })

  it('takes relief away and leaves an edge', () => {
    const picture = sheet(256, 256, { painted: true })
    const clean = wholeTile(withoutRelief(tileSource(picture), filterFor(blank)))
    const left = unevenness(clean, 40, 170, 64) / unevenness(picture, 40, 170, 64)
    expect(20 * Math.log10(left)).toBeLessThan(-15)
    // Inside and outside the dark square: as far apart as before.
    const step = (tile: Tile) => {
      const mean = (x: number) => {
        let sum = 0
        for (let y = 70; y < 120; y++)
          for (let i = x; i < x + 6; i++) sum += Math.log(tile.planes[1][y * 256 + i])
        return sum / 300
      }
      return mean(25) - mean(36)
    }
    expect(step(clean) / step(picture)).toBeGreaterThan(0.98)
    expect(step(clean) / step(picture)).toBeLessThan(1.02)
  })

  it('takes relief off the bare sheet up to the picture’s edge', () => {
    const picture = sheet(256, 256)
    const filter = filterFor(blank)
    const left = (beyond: ReliefFilter['beyond']) => {
      const clean = wholeTile(withoutRelief(tileSource(picture), { ...filter, beyond }))
      const strip = (tile: Tile) => Math.hypot(unevenness(tile, 100, 0, 8), unevenness(tile, 248, 100, 8))
      return 20 * Math.log10(strip(clean) / strip(picture))
    }
    expect(left(filter.beyond)).toBeLessThan(-12)
    // Mirrored it would be taken for picture.
    expect(left(undefined) - left(filter.beyond)).toBeGreaterThan(3)
  })

  it('removes the share it is told to', () => {
    const picture = sheet(192, 192)
    const filter = filterFor(blank)
    const full = wholeTile(withoutRelief(tileSource(picture), filter))
    const half = wholeTile(withoutRelief(tileSource(picture), { ...filter, amount: 0.5 }))
    for (let i = 0; i < 192 * 192; i += 7) {
      const expected = Math.sqrt(picture.planes[1][i] * full.planes[1][i])
      expect(Math.abs(half.planes[1][i] / expected - 1)).toBeLessThan(1e-5)
    }
  })

  it('leaves the fine grain in paint where asked, and takes it from the bare sheet all the same', () => {
    const picture = sheet(256, 256, { painted: true, sensor: 0.003 })
    const filter = filterFor(blank)
    const [all, kept] = [0, 1].map((keptInPaint) =>
      wholeTile(withoutRelief(tileSource(picture), { ...filter, keptInPaint })),
    )
    // In the blue square, and beside the squares.
    expect(unevenness(kept, 140, 76, 40) / unevenness(picture, 140, 76, 40)).toBeGreaterThan(0.99)
    expect(unevenness(all, 140, 76, 40) / unevenness(picture, 140, 76, 40)).toBeLessThan(0.5)
    expect(unevenness(kept, 40, 170, 64) / unevenness(all, 40, 170, 64)).toBeCloseTo(1, 3)
  })

  it('refuses a region outside the picture', () => {
    const clean = withoutRelief(tileSource(blank), filterFor(blank))
    expect(() => clean.region({ x: 150, y: 0, width: 20, height: 10 })).toThrow(RangeError)
  })
})
