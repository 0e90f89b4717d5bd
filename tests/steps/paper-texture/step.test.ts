import { beforeAll, describe, expect, it } from 'vitest'
import { capture } from '../../../demo-data/capture.js'
import { contrastKept, psnrSrgb, reliefLeftDb } from '../../../demo-data/measure.js'
import type { Painting, SheetKind } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { RequestError, WorkError } from '../../../src/errors.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import type { Params } from '../../../src/steps/paper-texture/params.js'
import { paperTexture } from '../../../src/steps/paper-texture/step.js'
import { readContext, tileSource, wholeTile } from '../../helpers/readContext.js'
import { noise, sheet, unevenness } from './pictures.js'

const params = (given: unknown = {}): Params => paperTexture.params.parse(given)
const px = (value: number) => `${value}px`

async function run(source: Source, given: unknown = {}, options: Parameters<typeof readContext>[1] = {}) {
  const p = params(given)
  const reading = await paperTexture.read([source], p, readContext([source], options))
  return { reading, result: wholeTile(paperTexture.apply([source], reading, p)[0]), p }
}

/** Even paper with a little noise. */
function smoothSheet(size: number, rms: number): Tile {
  const random = noise(3)
  const plane = () =>
    Float32Array.from({ length: size * size }, () => 0.85 * (1 + rms * Math.sqrt(3) * random()))
  return { rect: { x: 0, y: 0, width: size, height: size }, planes: [plane(), plane(), plane()] }
}

describe('paper-texture on the painter’s scenes', () => {
  const scenes = new Map<SheetKind, { painting: Painting; truth: Tile; captured: Source }>()

  beforeAll(async () => {
    const { transform } = await inputTransform('sRGB', 'sRGB')
    for (const kind of ['tooth', 'weave'] as const) {
      const painting = paint({ seed: 11, width: 1080, height: 720, ppi: 200, sheet: kind })
      // The truth is the same capture of the sheet without relief and noise: the optics' blur is not this step's matter.
      const view = (reliefDepth: number, noise: number) => {
        const { raster } = capture(painting, {
          ...{ lampFromDeg: 300, lampHeightDeg: 35, reliefDepth, falloff: 0, device: 'truth', noise },
          ...{ blurPx: 0.6, turned: 0, seed: 5 },
        })
        return captureSource(raster, transform)
      }
      scenes.set(kind, { painting, truth: wholeTile(view(0, 0)), captured: view(1, 0.002) })
    }
  })

  it.each(['tooth', 'weave'] as const)(
    'brings %s nearer to the truth and keeps pencil and strokes',
    async (kind) => {
      const { painting, truth, captured } = scenes.get(kind)!
      const before = wholeTile(captured)
      const { reading, result } = await run(captured)
      expect(reading.textured).toBe(true)
      expect(reading.basis).toBe('blank')
      const { probes, blank } = painting
      const gain = psnrSrgb(truth, result) - psnrSrgb(truth, before)
      const left = reliefLeftDb(truth, before, result, blank)
      const kept = (what: 'pencil' | 'stroke') => contrastKept(truth, result, probes, what)
      expect.soft(gain).toBeGreaterThan(3)
      expect.soft(left).toBeLessThan(-13)
      // Lines are one or two pixels wide in so small a scene; the bench holds 0.90 on larger ones.
      expect.soft(kept('pencil')).toBeGreaterThan(0.88)
      expect.soft(kept('stroke')).toBeGreaterThan(0.95)
    },
  )

  it('says what it found, in numbers, words and pictures', async () => {
    const { reading, p } = await run(scenes.get('weave')!.captured, {}, { ppi: 200 })
    const findings = paperTexture.findings(reading, p)
    const kinds = findings.map(({ kind }) => kind)
    expect(kinds).toContain('picture')
    expect(kinds).toContain('plot')
    const picture = findings.find((f) => f.kind === 'picture')!.picture
    expect(picture.rgb.length).toBe(picture.width * picture.height * 3)
    expect(picture.rgb).toContain(255)
    expect(JSON.parse(JSON.stringify(reading))).toEqual(reading)
  })
})

describe('paper-texture', () => {
  const picture = sheet(512, 384, { painted: true })
  const source = tileSource(picture)

  it('measures the relief it was given', async () => {
    const { reading } = await run(source)
    // The wave has period 2 pi / hypot(0.61, 0.23) = 9.64 px and runs at atan2(0.23, 0.61) = 20.7 degrees.
    expect(reading.periodPx).toBeGreaterThan(9.0)
    expect(reading.periodPx).toBeLessThan(10.3)
    expect(Math.abs(reading.directionDeg - 20.7)).toBeLessThan(6)
    // 0.05 times the root of the wave's 1/2 and the grain's 3 / 4 / 3.
    const rms = 5 * Math.sqrt(1 / 2 + 1 / 4)
    expect(reading.reliefRmsPercent / rms).toBeGreaterThan(0.9)
    expect(reading.reliefRmsPercent / rms).toBeLessThan(1.1)
    expect(reading.residualDb).toBeLessThan(-15)
  })

  it('takes the share of relief power that strength says', async () => {
    const at = async (strength: number) => unevenness((await run(source, { strength })).result, 400, 260, 96)
    const [none, half, all] = [unevenness(picture, 400, 260, 96), await at(0.5), await at(1)]
    expect(all / none).toBeLessThan(0.2)
    expect((half / none) ** 2).toBeGreaterThan(0.47)
    expect((half / none) ** 2).toBeLessThan(0.56)
  })

  it('leaves more relief the more detail is asked for', async () => {
    const at = async (detail: number) => unevenness((await run(source, { detail })).result, 400, 260, 96)
    const [least, middle, most] = [await at(0), await at(0.5), await at(1)]
    expect(least).toBeLessThan(middle)
    expect(middle).toBeLessThan(most)
  })

  it('changes nothing at strength 0', async () => {
    const { result } = await run(source, { strength: 0 })
    expect(result.planes).toEqual(picture.planes)
  })

  it('leaves a smooth sheet as it is, to the bit, and says so', async () => {
    const smooth = smoothSheet(256, 0.008)
    const { reading, result, p } = await run(tileSource(smooth))
    expect(reading.textured).toBe(false)
    expect(result.planes).toEqual(smooth.planes)
    const said = paperTexture.findings(reading, p).map((f) => ('text' in f ? f.text : ''))
    expect(said.join(' ')).toContain('left exactly as it is')
  })

  it('learns from regions named, in px and in mm', async () => {
    const region = { left: px(10), top: px(210), width: px(480), height: px(160) }
    const { reading } = await run(source, { blank: [region] })
    expect(reading.basis).toBe('regions')
    const inMm = { left: '1mm', top: '27mm', width: '60mm', height: '20mm' }
    const again = await run(source, { blank: [inMm] }, { ppi: 200 })
    expect(again.reading.reliefRmsPercent / reading.reliefRmsPercent).toBeCloseTo(1, 1)
  })

  it('refuses regions it cannot use, with the place', async () => {
    const outside = { left: px(400), top: px(0), width: px(200), height: px(100) }
    await expect(run(source, { blank: [outside] })).rejects.toThrow(/blank\.0.*leaves the picture/)
    const small = { left: px(0), top: px(0), width: px(20), height: px(100) }
    await expect(run(source, { blank: [small] })).rejects.toThrow(/at least 64 x 64 px/)
    const mm = { left: '0mm', top: '0mm', width: '20mm', height: '20mm' }
    await expect(run(source, { blank: [mm] })).rejects.toThrow(RequestError)
  })

  it('says what to do where no place is even', async () => {
    const random = noise(9)
    const size = 320
    // Coloured blobs of every size: no window is calm in colour.
    const plane = () => {
      const coarse = Float32Array.from({ length: 80 * 80 }, () => 0.5 + 0.45 * random())
      return Float32Array.from(
        { length: size * size },
        (_, i) => coarse[((i / size) >> 2) * 80 + ((i % size) >> 2)],
      )
    }
    const busy: Tile = {
      rect: { x: 0, y: 0, width: size, height: size },
      planes: [plane(), plane(), plane()],
    }
    const failure = run(tileSource(busy))
    await expect(failure).rejects.toThrow(WorkError)
    await expect(failure).rejects.toThrow(/Name blank places/)
  })

  it('takes up a saved reading, also out of a run record, and rescales it to another resolution', async () => {
    const { reading } = await run(source, {}, { ppi: 300 })
    const options = (text: unknown, ppi: number) => ({
      ppi,
      auxiliaryTexts: { '/r.json': JSON.stringify(text) },
    })
    const same = await run(source, { reading: '/r.json' }, options(reading, 300))
    expect(same.reading.basis).toBe('reading')
    expect(same.reading.spectrum).toEqual(reading.spectrum)
    const record = { record: 1, readings: { 'paper-texture': reading } }
    const fine = await run(source, { reading: '/r.json' }, options(record, 450))
    expect(fine.reading.periodPx / reading.periodPx).toBeGreaterThan(1.4)
    expect(fine.reading.periodPx / reading.periodPx).toBeLessThan(1.65)
    expect(fine.reading.warnings.join()).toContain('300 ppi')
    await expect(run(source, { reading: '/r.json' }, options({ a: 1 }, 300))).rejects.toThrow(RequestError)
    await expect(
      run(source, { reading: '/r.json' }, { auxiliaryTexts: { '/r.json': 'no' } }),
    ).rejects.toThrow(/no JSON/)
  })

  it('refuses a strength outside 0..1 and unknown keys', () => {
    expect(paperTexture.params.safeParse({ strength: 1.2 }).success).toBe(false)
    expect(paperTexture.params.safeParse({ strength: -0.1 }).success).toBe(false)
    expect(paperTexture.params.safeParse({ blanc: 'auto' }).success).toBe(false)
    expect(paperTexture.params.safeParse({ blank: [] }).success).toBe(false)
  })

  it('looks at a bounded number of pixels however large the picture', async () => {
    const tone = 0.8
    const large: Source = {
      width: 9000,
      height: 7000,
      region: ({ x, y, width, height }) => {
        const plane = new Float32Array(width * height)
        for (let j = 0; j < height; j++) {
          for (let i = 0; i < width; i++) {
            plane[j * width + i] = tone * (1 + 0.05 * Math.sin(0.7 * (x + i)) * Math.cos(0.4 * (y + j)))
          }
        }
        return { rect: { x, y, width, height }, planes: [plane, plane.slice(), plane.slice()] }
      },
    }
    const context = readContext([large])
    await paperTexture.read([large], params(), context)
    expect(context.asked.reducedViews).toBe(0)
    expect(context.asked.regionPixels).toBeLessThan(12e6)
  })
})
