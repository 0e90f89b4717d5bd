import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { WORKING_TO_XYZ_D50 } from '../../../src/colour/working.js'
import type { Sharpening } from '../../../src/outputs/contract.js'
import { gaussianTaps, sharpened } from '../../../src/outputs/sharpening/sharpened.js'
import { mirrored } from '../../../src/raster/padded.js'
import { all, drawn, noise } from '../../raster/resample/drawn.js'
import { derive } from '../derived.js'

const PLAIN: Sharpening = { sigmaPx: 1.1, amount: 0.8, limit: 0.1 }
const [wr, wg, wb] = WORKING_TO_XYZ_D50.slice(3, 6)
const luminance = (planes: readonly Float32Array[], i: number) =>
  planes[0][i] * wr + planes[1][i] * wg + planes[2][i] * wb
const f = Math.fround

/** The same arithmetic written plainly, in double precision. */
function twin(width: number, height: number, at: typeof noise, s: Sharpening): number[][] {
  const taps = gaussianTaps(s.sigmaPx)
  const halo = (taps.length - 1) / 2
  const rgb = (x: number, y: number) =>
    [0, 1, 2].map((c) => f(at(mirrored(x, width), mirrored(y, height), c)))
  const root = (px: number, py: number) => {
    const [r, g, b] = rgb(px, py)
    return Math.sqrt(Math.max(0, r * wr + g * wg + b * wb))
  }
  const out: number[][] = [[], [], []]
  for (let py = 0; py < height; py++) {
    for (let px = 0; px < width; px++) {
      let blurred = 0
      let low = Number.POSITIVE_INFINITY
      let high = Number.NEGATIVE_INFINITY
      for (let j = -halo; j <= halo; j++) {
        for (let i = -halo; i <= halo; i++) {
          const v = root(px + i, py + j)
          blurred += v * taps[i + halo] * taps[j + halo]
          low = Math.min(low, v)
          high = Math.max(high, v)
        }
      }
      const v = root(px, py)
      const d = v - blurred
      const n = ((s.noiseFloor ?? 0) / 2) * (v + Math.sqrt(0.02))
      const wished = v + (s.amount * d * d * d) / (d * d + n * n + 1e-20)
      const lifted = Math.max(wished, low - s.limit * (high - low), 0)
      const held2 = Math.min(lifted * lifted, high * high + s.limit * (high * high - low * low))
      const gain = (held2 + 0.001) / (v * v + 0.001)
      rgb(px, py).forEach((value, c) => {
        out[c].push(value * gain)
      })
    }
  }
  return out
}

describe('sharpened', () => {
  it('agrees with the arithmetic written plainly', () => {
    for (const s of [PLAIN, { ...PLAIN, sigmaPx: 2.3, amount: 2, noiseFloor: 0.1 }]) {
      const expected = twin(23, 17, noise, s)
      const got = all(sharpened(drawn(23, 17, noise), s))
      got.planes.forEach((plane, c) => {
        plane.forEach((v, i) => {
          expect(Math.abs(v - expected[c][i])).toBeLessThan(2e-6)
        })
      })
    }
  })

  it('gives a tile asked alone the bits it has in the whole', () => {
    const source = sharpened(drawn(50, 40, noise), { ...PLAIN, noiseFloor: 0.005 })
    const full = all(source)
    fc.assert(
      fc.property(
        fc.nat(49),
        fc.nat(39),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (x, y, a, b) => {
          const rect = { x, y, width: 1 + Math.floor((49 - x) * a), height: 1 + Math.floor((39 - y) * b) }
          source.region(rect).planes.forEach((plane, c) => {
            for (let j = 0; j < rect.height; j++)
              for (let i = 0; i < rect.width; i++)
                expect(plane[j * rect.width + i]).toBe(full.planes[c][(y + j) * 50 + x + i])
          })
        },
      ),
      { numRuns: 60, seed: 2 },
    )
  })

  it('leaves flat areas as they are', () => {
    const flat = drawn(20, 20, (_x, _y, c) => [1, 0.5, 0][c])
    all(sharpened(flat, { ...PLAIN, amount: 3 })).planes.forEach((plane, c) => {
      for (const v of plane) expect(v).toBeCloseTo([1, 0.5, 0][c], 6)
    })
  })

  it('keeps chromaticity: the three channels grow by one factor', () => {
    const source = drawn(30, 30, (x, y, c) => 0.1 + [0.7, 0.4, 0.2][c] * noise(x, y, 0))
    const before = all(source)
    const after = all(sharpened(source, PLAIN))
    for (let i = 0; i < 900; i++) {
      const gains = before.planes.map((plane, c) => after.planes[c][i] / plane[i])
      expect(gains[1]).toBeCloseTo(gains[0], 5)
      expect(gains[2]).toBeCloseTo(gains[0], 5)
    }
  })

  it('steepens an edge and overshoots it by its limit at most, less on the dark side, where it shows more', () => {
    const edge = drawn(60, 12, (x) => 0.15 + 0.6 / (1 + Math.exp(-(x - 29.5))))
    const before = all(edge)
    for (const amount of [0.5, 2, 20]) {
      const { planes } = all(sharpened(edge, { sigmaPx: 1.5, amount, limit: 0.1 }))
      const row = Array.from({ length: 60 }, (_, x) => luminance(planes, 6 * 60 + x))
      const slope = row[30] - row[29]
      expect(slope).toBeGreaterThan(1.05 * (luminance(before.planes, 390) - luminance(before.planes, 389)))
      expect(Math.max(...row)).toBeLessThanOrEqual(0.75 + 0.1 * 0.6 + 1e-4)
      const darkest = Math.sqrt(0.15) - 0.1 * (Math.sqrt(0.75) - Math.sqrt(0.15))
      expect(Math.min(...row)).toBeGreaterThanOrEqual(darkest ** 2 - 1e-4)
    }
  })

  it('holds off what lies under the noise floor, and not what stands out of it', () => {
    const paper = drawn(80, 80, (x, y) => 0.9 * (1 + 0.002 * (noise(x, y, 0) - 0.5)))
    const spread = (planes: readonly Float32Array[]) => {
      const values = Array.from(planes[1])
      const mean = values.reduce((a, b) => a + b, 0) / values.length
      return Math.sqrt(values.reduce((a, v) => a + (v - mean) ** 2, 0) / values.length)
    }
    const strong = { sigmaPx: 1.2, amount: 1.5, limit: 0.1 }
    const before = spread(all(paper).planes)
    expect(spread(all(sharpened(paper, strong)).planes)).toBeGreaterThan(1.15 * before)
    expect(spread(all(sharpened(paper, { ...strong, noiseFloor: 0.005 })).planes)).toBeLessThan(1.05 * before)
    const line = drawn(60, 9, (x) => (x === 30 ? 0.5 : 0.9))
    const plain = all(sharpened(line, { ...strong, limit: 0.5 })).planes[1][4 * 60 + 30]
    const held = all(sharpened(line, { ...strong, limit: 0.5, noiseFloor: 0.005 })).planes[1][4 * 60 + 30]
    expect(Math.abs(held - plain)).toBeLessThan(0.002)
  })

  it('leaves no halo on paper white, beside dark strokes and pale ones', () => {
    for (const stroke of [0.03, 0.5, 0.9]) {
      const drawing = drawn(90, 40, (x, y, c) =>
        Math.hypot(x - 45, (y - 20) * 3) < 18 ? stroke * [1, 0.8, 0.6][c] : 1,
      )
      const size = { width: 45, height: 20 }
      const request = { crop: { x: 0, y: 0, width: 90, height: 40 }, ...size, space: 'sRGB' as const }
      const before = derive(drawing, { ...request, sharpening: null }).data
      const after = derive(drawing, { ...request, sharpening: { ...PLAIN, amount: 3 } }).data
      let paper = 0
      for (let i = 0; i < before.length; i += 3) {
        if (before[i] < 65535 || before[i + 1] < 65535 || before[i + 2] < 65535) continue
        paper++
        expect([...after.slice(i, i + 3)]).toEqual([65535, 65535, 65535])
      }
      expect(paper).toBeGreaterThan(300)
    }
  })

  it('changes nothing with no amount', () => {
    const source = drawn(5, 5, noise)
    expect(sharpened(source, { ...PLAIN, amount: 0 })).toBe(source)
  })
})
