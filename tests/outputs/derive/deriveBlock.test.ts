import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import type { Derivation } from '../../../src/outputs/contract.js'
import { blocksOf } from '../../../src/outputs/derive/blocksOf.js'
import { deriveBlock } from '../../../src/outputs/derive/deriveBlock.js'
import { emptyRaster, type Raster } from '../../../src/raster/Raster.js'
import { noise } from '../../raster/resample/drawn.js'
import { derive } from '../derived.js'

function noisy(width: number, height: number): Raster {
  const raster = emptyRaster(width, height)
  for (let i = 0; i < raster.data.length; i++) {
    const pixel = Math.floor(i / 3)
    raster.data[i] = Math.floor(65535 * noise(pixel % width, Math.floor(pixel / width), i % 3))
  }
  return raster
}

const SHARP = { sigmaPx: 1.2, amount: 0.7, limit: 0.1, noiseFloor: 0.005 }

/** A reduction with sharpening, an enlargement, a plain copy, and a crop that leaves the master on all sides. */
const requests = (width: number, height: number): Derivation[] => [
  {
    ...{ crop: { x: 0, y: 0, width, height }, width: 61, height: 47 },
    ...{ sharpening: SHARP, space: 'sRGB' },
  },
  {
    ...{ crop: { x: 10.3, y: 20.9, width: 70.5, height: 50.2 }, width: 133, height: 99 },
    ...{ sharpening: null, space: 'opRGB' },
  },
  {
    ...{ crop: { x: 5, y: 7, width: 80, height: 60 }, width: 80, height: 60 },
    ...{ sharpening: SHARP, space: 'sRGB' },
  },
  {
    ...{ crop: { x: -12, y: -9, width: width + 24, height: height + 20 }, width: 75, height: 52 },
    ...{ sharpening: null, space: 'sRGB' },
  },
]

describe('derivatives made together', () => {
  it('have the bits of each made alone in one go, however the master is cut', () => {
    const master = noisy(180, 140)
    const asked = requests(master.width, master.height)
    const transform = spaceTransform('sRGB')
    const alone = asked.map((request) => derive(captureSource(master, transform), request))
    const halves = (length: number, at: number) => [
      { from: 0, count: at },
      { from: at, count: length - at },
    ]
    const targets = asked.map(({ width, height }) => emptyRaster(width, height))
    for (const i of [0, 1]) {
      for (const j of [0, 1]) {
        const parts = asked.map((request, index) => {
          const x = halves(request.width, 20 + index * 7)[i]
          const y = halves(request.height, 31 - index)[j]
          const rect = { x: x.from, y: y.from, width: x.count, height: y.count }
          return { request, rect, target: targets[index] }
        })
        deriveBlock(master, transform, parts)
      }
    }
    targets.forEach(({ data }, i) => {
      expect(Buffer.from(data.buffer).equals(Buffer.from(alone[i].data.buffer)), `derivative ${i}`).toBe(true)
    })
  })
})

describe('the blocks of a master', () => {
  it('hold every pixel of every derivative once', () => {
    const side = fc.integer({ min: 1, max: 9000 })
    const derivation = fc.record({
      x: fc.double({ min: -0.1, max: 0.5, noNaN: true }),
      y: fc.double({ min: -0.1, max: 0.5, noNaN: true }),
      extent: fc.double({ min: 0.2, max: 1, noNaN: true }),
      width: fc.integer({ min: 1, max: 400 }),
      height: fc.integer({ min: 1, max: 400 }),
    })
    fc.assert(
      fc.property(side, side, fc.array(derivation, { minLength: 1, maxLength: 3 }), (width, height, made) => {
        const derivations = made.map(
          (one): Derivation => ({
            crop: {
              ...{ x: one.x * width, y: one.y * height },
              ...{ width: one.extent * width, height: one.extent * height },
            },
            ...{ width: one.width, height: one.height, sharpening: null, space: 'sRGB' },
          }),
        )
        const seen = derivations.map((one) => new Uint8Array(one.width * one.height))
        for (const block of blocksOf({ width, height }, derivations)) {
          for (const { index, rect } of block) {
            for (let y = rect.y; y < rect.y + rect.height; y++) {
              for (let x = rect.x; x < rect.x + rect.width; x++)
                seen[index][y * derivations[index].width + x]++
            }
          }
        }
        for (const pixels of seen) expect(pixels.every((count) => count === 1)).toBe(true)
      }),
      { numRuns: 60, seed: 9 },
    )
  })

  it('are small where a derivative is much larger than the master', () => {
    const request: Derivation = {
      ...{ crop: { x: 0, y: 0, width: 1000, height: 800 }, width: 20_000, height: 16_000 },
      ...{ sharpening: null, space: 'sRGB' },
    }
    for (const [{ rect }] of blocksOf({ width: 1000, height: 800 }, [request])) {
      expect(rect.width * rect.height).toBeLessThan(2_500_000)
    }
    expect(blocksOf({ width: 10, height: 10 }, [])).toEqual([])
  })
})
