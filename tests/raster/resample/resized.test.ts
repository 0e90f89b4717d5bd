import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { mirrored } from '../../../src/raster/padded.js'
import { axisWeights } from '../../../src/raster/resample/axisWeights.js'
import { ENLARGING, REDUCING } from '../../../src/raster/resample/filters.js'
import { resized } from '../../../src/raster/resample/resized.js'
import { all, drawn, noise, whole } from './drawn.js'

describe('resized', () => {
  it('gives a tile asked alone the bits it has in the whole', () => {
    const size = fc.integer({ min: 1, max: 60 })
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(size, size, size, size, share, share, share, (w, h, outW, outH, a, b, c) => {
        const source = drawn(w, h, noise)
        const crop = {
          x: a * w * 0.3,
          y: b * h * 0.3,
          width: w * (0.3 + 0.4 * c),
          height: h * (0.3 + 0.4 * b),
        }
        const result = resized(source, crop, outW, outH)
        const full = all(result)
        const x = Math.floor(a * outW * 0.9)
        const y = Math.floor(c * outH * 0.9)
        const rect = { x, y, width: Math.ceil((outW - x) * (0.1 + 0.9 * b)), height: outH - y }
        const part = result.region(rect)
        part.planes.forEach((plane, channel) => {
          for (let j = 0; j < rect.height; j++)
            for (let i = 0; i < rect.width; i++)
              expect(plane[j * rect.width + i]).toBe(full.planes[channel][(y + j) * outW + x + i])
        })
      }),
      { numRuns: 60, seed: 5 },
    )
  })

  it('reads large reductions in bands and gives the same bits', () => {
    const source = drawn(4000, 3000, noise)
    const small = resized(source, whole(source), 40, 30)
    const full = all(small)
    expect(source.largest).toBeLessThan(2_100_000)
    const one = small.region({ x: 17, y: 11, width: 1, height: 1 })
    one.planes.forEach((plane, c) => {
      expect(plane[0]).toBe(full.planes[c][11 * 40 + 17])
    })
    full.planes.forEach((plane) => {
      for (const v of plane) expect(v).toBeCloseTo(0.5, 1)
    })
  })

  it('agrees with the sums written plainly', () => {
    const [w, h, outW, outH] = [37, 29, 23, 41]
    const crop = { x: 1.3, y: -0.4, width: 34.9, height: 29.1 }
    const source = drawn(w, h, noise)
    const full = all(resized(source, crop, outW, outH))
    const across = axisWeights(crop.x, crop.width / outW, 0, outW)
    const down = axisWeights(crop.y, crop.height / outH, 0, outH)
    for (let c = 0; c < 3; c++) {
      for (let j = 0; j < outH; j++) {
        for (let i = 0; i < outW; i++) {
          // Columns first, term by term; then the row in four running sums, as the kernel keeps them: all in float32.
          const column = (x: number) => {
            let sum = 0
            for (let l = 0; l < down.needed; l++) {
              const value = Math.fround(noise(x, mirrored(down.starts[j] + l, h), c))
              sum = Math.fround(sum + Math.fround(value * down.weights[j * down.taps + l]))
            }
            return sum
          }
          const lanes = new Float32Array(4)
          for (let k = 0; k < across.taps; k++) {
            const value = column(mirrored(across.starts[i] + k, w))
            lanes[k % 4] += Math.fround(value * across.weights[i * across.taps + k])
          }
          const sum = Math.fround(Math.fround(lanes[0] + lanes[1]) + Math.fround(lanes[2] + lanes[3]))
          expect(full.planes[c][j * outW + i]).toBe(sum)
        }
      }
    }
  })

  it('keeps a flat picture flat and a copy a copy', () => {
    const flat = drawn(50, 40, (_x, _y, c) => [1, 0.25, 0][c])
    for (const [w, h] of [
      [50, 40],
      [13, 11],
      [120, 97],
      [1, 1],
      [51, 39],
    ]) {
      all(resized(flat, whole(flat), w, h)).planes.forEach((plane, c) => {
        for (const v of plane) expect(Math.abs(v - [1, 0.25, 0][c])).toBeLessThan(1e-6)
      })
    }
    const source = drawn(20, 15, noise)
    const copied = all(resized(source, { x: 3, y: 2, width: 10, height: 9 }, 10, 9))
    expect(copied.planes).toEqual(source.region({ x: 3, y: 2, width: 10, height: 9 }).planes)
  })

  it('averages one-pixel black and white lines to the linear mean within 0.5 % at every reduction', () => {
    const lines = drawn(600, 8, (x) => x % 2)
    for (let ratio = 1.02; ratio < 30; ratio *= 1.11) {
      const width = Math.round(600 / ratio)
      const { planes } = all(resized(lines, whole(lines), width, 2))
      const inner = planes[0].subarray(4, width - 4)
      const mean = inner.reduce((a, b) => a + b, 0) / inner.length
      // A beat between lines and output pixels need not end at the border: one pixel's share is allowed for.
      if (inner.length > 30) expect(Math.abs(mean - 0.5)).toBeLessThan(0.0025 + 0.5 / inner.length)
      // From 1.75 on, no pixel strays: nothing of the lines is left to turn into moiré.
      if (ratio > 1.75) for (const v of inner) expect(Math.abs(v - 0.5)).toBeLessThan(0.0025)
    }
  })

  it('overshoots an edge by 2 % at most, enlarging and reducing, wherever the edge lies', () => {
    for (const [inputs, outputs] of [
      [40, 400],
      [40, 113],
      [40, 47],
      [400, 391],
      [400, 307],
      [400, 160],
      [400, 31],
    ]) {
      for (const shift of [0, 0.2, 0.5, 0.7]) {
        const edge = drawn(inputs, 4, (x) => (x < inputs / 2 ? 0.2 : 0.9))
        const crop = { x: shift, y: 0, width: inputs - 1, height: 4 }
        const { planes } = all(resized(edge, crop, outputs, 4))
        for (const v of planes[0]) {
          expect(v).toBeLessThan(0.9 + 0.02 * 0.7)
          expect(v).toBeGreaterThan(0.2 - 0.02 * 0.7)
        }
      }
    }
  })

  it('keeps a gradient in place: pixel centres map to pixel centres', () => {
    const ramp = drawn(200, 4, (x) => (x + 0.5) / 200)
    for (const width of [70, 131, 350]) {
      const { planes } = all(resized(ramp, { x: 20.25, y: 0, width: 150.5, height: 4 }, width, 4))
      for (let i = 8; i < width - 8; i++) {
        const position = planes[0][i] * 200
        // A hundredth of an input pixel.
        expect(Math.abs(position - (20.25 + ((i + 0.5) * 150.5) / width))).toBeLessThan(0.01)
      }
    }
  })

  it('refuses a region outside', () => {
    const source = drawn(10, 10, noise)
    expect(() => resized(source, whole(source), 5, 5).region({ x: 1, y: 0, width: 5, height: 5 })).toThrow(
      RangeError,
    )
  })
})

describe('the filters', () => {
  it('sum to one over whole steps, whatever the phase', () => {
    for (const { reach, value } of [ENLARGING, REDUCING]) {
      for (let phase = 0; phase < 1; phase += 0.05) {
        let sum = 0
        for (let k = -Math.ceil(reach) - 1; k <= reach + 1; k++) sum += value(k + phase)
        expect(sum).toBeCloseTo(1, 12)
      }
      expect(value(reach)).toBeCloseTo(0, 12)
    }
  })
})
