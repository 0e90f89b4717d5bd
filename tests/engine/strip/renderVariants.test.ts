import { describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { partFor, renderVariants } from '../../../src/engine/strip/renderVariants.js'
import type { Derivation } from '../../../src/outputs/contract.js'
import { emptyRaster, type Raster } from '../../../src/raster/Raster.js'
import type { Rect } from '../../../src/raster/Rect.js'
import { derive } from '../../outputs/derived.js'

const MASTER = { width: 230, height: 170 }

function master(): Raster {
  const raster = emptyRaster(MASTER.width, MASTER.height)
  let state = 99
  for (let i = 0; i < raster.data.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    const step = (i / 3) % MASTER.width > 100 ? 40000 : 12000
    raster.data[i] = step + (state >>> 20)
  }
  return raster
}

function cut({ width, data }: Raster, rect: Rect): Raster {
  const part = emptyRaster(rect.width, rect.height)
  for (let j = 0; j < rect.height; j++) {
    const from = ((rect.y + j) * width + rect.x) * 3
    part.data.set(data.subarray(from, from + rect.width * 3), j * rect.width * 3)
  }
  return part
}

const SHARPENINGS: Derivation['sharpening'][] = [
  null,
  { sigmaPx: 0.8, amount: 1, limit: 0.1, noiseFloor: 0.005 },
  { sigmaPx: 2, amount: 0.6, limit: 0.1 },
]

describe('crops of a derivative', () => {
  it.each([
    ['reduced', { x: 10.4, y: 5.25, width: 200, height: 150 }, { width: 90, height: 68 }],
    ['enlarged', { x: 0, y: 0, width: 230, height: 170 }, { width: 300, height: 222 }],
    ['copied', { x: 0, y: 0, width: 230, height: 170 }, { width: 230, height: 170 }],
    ['with mirrored bleed', { x: -12.5, y: -9, width: 260, height: 188 }, { width: 120, height: 87 }],
  ])('%s are the very pixels of the whole', (_, crop, size) => {
    const whole = master()
    const request = { crop, ...size, sharpening: null, space: 'opRGB' as const }
    const rects: Rect[] = [
      { x: 0, y: 0, width: 31, height: 22 },
      { x: size.width - 31, y: size.height - 22, width: 31, height: 22 },
      { x: 40, y: 30, width: 31, height: 22 },
    ]
    for (const rect of rects) {
      const place = partFor(rect, request, SHARPENINGS, MASTER)
      const targets = SHARPENINGS.map(() => emptyRaster(rect.width, rect.height))
      const part = { raster: cut(whole, place), place, space: 'sRGB' as const }
      renderVariants({ part, master: MASTER, request, sharpenings: SHARPENINGS, rect, targets })
      SHARPENINGS.forEach((sharpening, i) => {
        const expected = derive(captureSource(whole, spaceTransform('sRGB')), { ...request, sharpening })
        expect(targets[i].data).toEqual(cut(expected, rect).data)
      })
    }
  })
})
