import { describe, expect, it } from 'vitest'
import { capture } from '../../../demo-data/capture.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { WorkError } from '../../../src/errors.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { paperWhite } from '../../../src/steps/paper-white/step.js'
import { readContext, tileSource, wholeTile } from '../../helpers/readContext.js'

function noise(seed: number): () => number {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 31 - 1
  }
}

const BASE = [0.86, 0.83, 0.74]

/** Paper with a little noise; `paint` gives the share of light left at a place, a channel. */
function sheet(width: number, height: number, paint: (x: number, y: number) => number[], rms = 0.004): Tile {
  const random = noise(5)
  const planes = [0, 1, 2].map(() => new Float32Array(width * height)) as Tile['planes']
  for (let i = 0; i < width * height; i++) {
    const shade = 1 + rms * Math.sqrt(3) * random()
    const share = paint(i % width, Math.floor(i / width))
    for (let c = 0; c < 3; c++) planes[c][i] = BASE[c] * shade * share[c]
  }
  return { rect: { x: 0, y: 0, width, height }, planes }
}

async function run(source: Source, given: unknown = {}, ppi?: number) {
  const params = paperWhite.params.parse(given)
  const reading = await paperWhite.read([source], params, readContext([source], { ppi }))
  const [result] = paperWhite.apply([source], reading, params)
  return { reading, result, params }
}

const light = (tile: Tile, i: number) => 0.2880402 * tile.planes[0][i] + 0.7118741 * tile.planes[1][i]

describe('paper-white', () => {
  it('brings unpainted paper to 1 in every channel, and states its tone', async () => {
    const { reading, result } = await run(
      tileSource(sheet(512, 384, (x) => (x < 256 ? [1, 1, 1] : [0.3, 0.5, 0.6]))),
    )
    const whole = wholeTile(result)
    let off = 0
    for (let y = 8; y < 376; y++) {
      for (let x = 8; x < 246; x++) {
        const i = y * 512 + x
        if (whole.planes.some((plane) => Math.abs(plane[i] - 1) > 1e-6)) off++
      }
    }
    expect(off / (368 * 238)).toBeLessThan(0.001)
    reading.base.forEach((value, c) => {
      expect(Math.abs(value / BASE[c] - 1)).toBeLessThan(0.005)
    })
    expect(reading.blankShare).toBeGreaterThan(0.45)
    expect(reading.blankShare).toBeLessThan(0.55)
  })

  it('states the tone in CIELAB: a grey of 18 % is L* 49.5', async () => {
    // CIE 15:2018: L* = 116 (0.18)^(1/3) - 16 = 49.496.
    const grey = sheet(256, 256, () => BASE.map((value) => 0.18 / value), 0)
    const { reading } = await run(tileSource(grey))
    expect(reading.baseLab[0]).toBeCloseTo(49.5, 1)
    expect(Math.hypot(reading.baseLab[1], reading.baseLab[2])).toBeLessThan(0.05)
    expect(reading.warnings.join()).toContain('dark for paper')
  })

  it('doubts a base tone that no paper ages to, and trusts a cream one', async () => {
    // BASE is cream; taking red light away makes the same sheet a pale turquoise wash.
    const cream = await run(tileSource(sheet(256, 256, () => [1, 1, 1])))
    expect(cream.reading.warnings).toEqual([])
    const wash = await run(tileSource(sheet(256, 256, () => [0.75, 1, 1.15])))
    expect(wash.reading.warnings.join()).toMatch(/plainly coloured/)
  })

  it('makes paper even that is lit unevenly', async () => {
    const fall = (x: number, y: number) => 1 - 0.12 * (x / 640) - 0.06 * (y / 480) ** 2
    const painted = (x: number, y: number) => Math.hypot(x - 320, y - 240) < 120
    const picture = sheet(640, 480, (x, y) =>
      (painted(x, y) ? [0.4, 0.5, 0.7] : [1, 1, 1]).map((v) => v * fall(x, y)),
    )
    const { reading, result } = await run(tileSource(picture))
    expect(reading.unevenPercent).toBeGreaterThan(8)
    const whole = wholeTile(result)
    let white = 0
    let count = 0
    for (let y = 0; y < 480; y++) {
      for (let x = 0; x < 640; x++) {
        if (Math.hypot(x - 320, y - 240) < 130) continue
        count++
        if (whole.planes.every((plane) => Math.abs(plane[y * 640 + x] - 1) < 0.002)) white++
      }
    }
    expect(white / count).toBeGreaterThan(0.995)
  })

  it('keeps the tone of thin washes beyond the soft zone exactly', async () => {
    const wash = [0.93, 0.95, 0.97]
    const { result, reading } = await run(tileSource(sheet(512, 256, (x) => (x < 256 ? [1, 1, 1] : wash))))
    const whole = wholeTile(result)
    const mean = (c: number) => {
      let sum = 0
      for (let y = 20; y < 236; y++) for (let x = 300; x < 500; x++) sum += whole.planes[c][y * 512 + x]
      return sum / (216 * 200)
    }
    expect(reading.near.dark).toBeLessThan(0.015)
    for (let c = 0; c < 3; c++) expect(Math.abs(mean(c) - wash[c])).toBeLessThan(0.003)
  })

  it('passes from paper to paint without a border: monotone, and at most 2.5 times as steep', async () => {
    // A wash that fades in over 400 px, without noise so that slopes can be read.
    const depth = (x: number) => 0.2 * Math.min(1, Math.max(0, (x - 200) / 400))
    const picture = sheet(800, 256, (x) => [1 - depth(x), 1 - depth(x), 1 - depth(x)], 0)
    const { result } = await run(tileSource(picture))
    const whole = wholeTile(result)
    const row = 128 * 800
    let steepest = 0
    for (let x = 150; x < 700; x++) {
      const fall = light(whole, row + x) - light(whole, row + x + 1)
      // The paper’s fitted surface may lean by a trace.
      expect(fall).toBeGreaterThan(-2e-5)
      steepest = Math.max(steepest, fall)
    }
    expect(steepest).toBeLessThan((2.5 * 0.2) / 400)
    expect(light(whole, row + 210)).toBeCloseTo(1, 3)
    expect(light(whole, row + 700)).toBeCloseTo(0.8, 2)
  })

  it('keeps a pencil line on paper as dark as it was', async () => {
    const line = (x: number) => Math.abs(x - 256) < 1
    const { result } = await run(tileSource(sheet(512, 256, (x) => (line(x) ? [0.7, 0.7, 0.7] : [1, 1, 1]))))
    const whole = wholeTile(result)
    let sum = 0
    for (let y = 0; y < 256; y++) sum += light(whole, y * 512 + 256)
    expect(sum / 256).toBeGreaterThan(0.69)
    expect(sum / 256).toBeLessThan(0.71)
  })

  it('gives the same bits in whatever rectangle a pixel is asked for', async () => {
    const { result } = await run(
      tileSource(sheet(300, 200, (x) => (x < 150 ? [1, 1, 1] : [0.9, 0.95, 0.99]))),
    )
    const whole = wholeTile(result)
    for (const rect of [
      { x: 0, y: 0, width: 64, height: 64 },
      { x: 131, y: 57, width: 41, height: 3 },
      { x: 299, y: 199, width: 1, height: 1 },
    ]) {
      const tile = result.region(rect)
      tile.planes.forEach((plane, c) => {
        for (let y = 0; y < rect.height; y++) {
          const from = (rect.y + y) * 300 + rect.x
          expect(plane.subarray(y * rect.width, (y + 1) * rect.width)).toEqual(
            whole.planes[c].subarray(from, from + rect.width),
          )
        }
      })
    }
    expect(() => result.region({ x: 280, y: 0, width: 30, height: 10 })).toThrow(RangeError)
  })

  it('agrees with its plain twin', async () => {
    const picture = sheet(160, 96, (x, y) => (x < 80 ? [1, 1, 1] : [0.98 - y / 2000, 0.99, 0.97]), 0.01)
    const { reading, result } = await run(tileSource(picture))
    const whole = wholeTile(result)
    const { gains, near, own } = reading
    const scaled = picture.planes.map((plane, c) =>
      Float64Array.from(plane, (value, i) => {
        const [u, v] = [(i % 160) / 160, Math.floor(i / 160) / 160]
        const [k, ku, kv, kuu, kuv, kvv] = gains[c]
        return value * (k + ku * u + kv * v + kuu * u * u + kuv * u * v + kvv * v * v)
      }),
    )
    const share = (rgb: number[], by: { dark: number; colour: number }, reach: number) => {
      const dark = Math.max(0, 1 - (0.2880402 * rgb[0] + 0.7118741 * rgb[1] + 0.0000857 * rgb[2])) / by.dark
      const distance = Math.hypot(dark, (rgb[0] - rgb[1]) / by.colour, (rgb[2] - rgb[1]) / by.colour)
      const t = Math.min(1, Math.max(0, (reach - distance) / (reach - 1)))
      return t * t * (3 - 2 * t)
    }
    for (let y = 2; y < 94; y++) {
      for (let x = 2; x < 158; x++) {
        const at = scaled.map((plane) => plane[y * 160 + x])
        const around = scaled.map((plane) => {
          let sum = 0
          for (let j = -2; j <= 2; j++) for (let i = -2; i <= 2; i++) sum += plane[(y + j) * 160 + x + i]
          return sum / 25
        })
        const by = share(around, near, 3) * share(at, own, 2)
        for (let c = 0; c < 3; c++) {
          expect(Math.abs(whole.planes[c][y * 160 + x] - (at[c] + by * (1 - at[c])))).toBeLessThan(2e-5)
        }
      }
    }
  })

  it('refuses a picture without paper, and says what to do', async () => {
    const random = noise(2)
    const coarse = Float32Array.from({ length: 64 * 64 * 3 }, () => 0.4 + 0.39 * random())
    const busy = sheet(512, 512, (x, y) => [0, 1, 2].map((c) => coarse[((y >> 3) * 64 + (x >> 3)) * 3 + c]))
    const failure = run(tileSource(busy))
    await expect(failure).rejects.toThrow(WorkError)
    await expect(failure).rejects.toThrow(/Name unpainted places/)
  })

  it('takes the paper from regions named, and refuses those it cannot use', async () => {
    const picture = tileSource(sheet(512, 256, (x) => (x < 256 ? [1, 1, 1] : [0.8, 0.8, 0.8])))
    const region = (left: number, width: number) => ({
      ...{ left: `${left}px`, top: '0px', width: `${width}px`, height: '200px' },
    })
    const { reading } = await run(picture, { blank: [region(300, 200)] })
    expect(reading.base[1] / (0.8 * BASE[1])).toBeCloseTo(1, 2)
    await expect(run(picture, { blank: [region(400, 200)] })).rejects.toThrow(/blank\.0/)
    const inMm = { left: '1mm', top: '1mm', width: '9mm', height: '9mm' }
    await expect(run(picture, { blank: [inMm] })).rejects.toThrow(/resolution is unknown/)
  })

  it('leaves paper that stitch has already filled with white out of the measure', async () => {
    const picture = sheet(512, 256, (x) => (x < 200 ? BASE.map((value) => 1 / value) : [1, 1, 1]), 0)
    const { reading } = await run(tileSource(picture))
    expect(reading.base[1] / BASE[1]).toBeCloseTo(1, 2)
  })

  it('whitens the painter’s sheet and keeps his palest washes', async () => {
    const { transform } = await inputTransform('sRGB', 'sRGB')
    const painting = paint({ seed: 4, width: 900, height: 600, ppi: 150, sheet: 'smooth' })
    const { raster } = capture(painting, {
      ...{ lampFromDeg: 300, lampHeightDeg: 40, reliefDepth: 0, falloff: 0, device: 'truth', noise: 0.002 },
      ...{ blurPx: 0.5, turned: 0, seed: 1 },
    })
    const before = wholeTile(captureSource(raster, transform))
    const { reading, result, params } = await run(captureSource(raster, transform))
    const whole = wholeTile(result)
    const far = (i: number, want: number) => {
      for (let dy = -4; dy <= 4; dy += 2) {
        for (let dx = -4; dx <= 4; dx += 2) {
          const k = i + dy * 900 + dx
          if (k < 0 || k >= 900 * 600 || painting.blank[k] !== want) return false
        }
      }
      return true
    }
    let [blank, white, pale, kept, was] = [0, 0, 0, 0, 0]
    for (let i = 0; i < 900 * 600; i++) {
      const x = i % 900
      if (x < 5 || x > 894) continue
      if (far(i, 1)) {
        blank++
        if (whole.planes.every((plane) => plane[i] > 0.998)) white++
      } else if (far(i, 0)) {
        const share = light(before, i) / (0.2880402 * reading.base[0] + 0.7118741 * reading.base[1])
        if (share > 0.85 && share < 0.92) {
          pale++
          was += 1 - share
          kept += 1 - light(whole, i)
        }
      }
    }
    expect(blank).toBeGreaterThan(20000)
    expect(white / blank).toBeGreaterThan(0.99)
    expect(pale).toBeGreaterThan(500)
    expect(kept / was).toBeGreaterThan(0.9)
    const words = paperWhite.findings(reading, params).map((f) => ('text' in f ? f.text : ''))
    expect(words.join(' ')).toContain('relative to the sheet’s own blank paper')
  })
})
