import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { blankBoard } from '../../demo-data/blankBoard.js'
import { capture } from '../../demo-data/capture.js'
import { cutUp } from '../../demo-data/cutUp.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import type { CaptureRequest, SheetKind } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { xyzD50ToLab } from '../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { space } from '../../src/colour/spaces/space.js'
import { toWorking, WORKING_TO_XYZ_D50 } from '../../src/colour/working.js'
import { emptyRaster, type Raster } from '../../src/raster/Raster.js'
import { emptyTile, type Tile } from '../../src/raster/Tile.js'

const SCENE = { seed: 11, width: 480, height: 320, ppi: 150, sheet: 'tooth' } as const
const painting = paint(SCENE)
const PLAIN: CaptureRequest = {
  ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, falloff: 0 },
  ...{ device: 'truth', noise: 0, blurPx: 0, turned: 0, gain: 0.8, seed: 5 },
}

const sha = (data: ArrayBufferView) =>
  createHash('sha256')
    .update(new Uint8Array(data.buffer, data.byteOffset, data.byteLength))
    .digest('hex')

/** The light in a capture that was written with the sRGB curve, through a matrix of the test's own. */
function decoded({ width, height, data }: Raster, gain = 1): Tile {
  const tile = emptyTile({ x: 0, y: 0, width, height })
  const m = toWorking('sRGB')
  const { decode } = space('sRGB')
  for (let i = 0; i < width * height; i++) {
    const rgb = [0, 1, 2].map((c) => decode(data[3 * i + c] / 65535) / gain) as Vector3
    apply3(m, rgb).forEach((value, c) => {
      tile.planes[c][i] = value
    })
  }
  return tile
}

/** Relative light and dark of a capture on blank paper near the top of the sheet. */
function shadeOnBlank(tile: Tile, truth: Tile, blank: Uint8Array): Float64Array {
  const values: number[] = []
  for (let i = 0; i < 12 * SCENE.width; i++)
    if (blank[i]) values.push(tile.planes[1][i] / truth.planes[1][i] - 1)
  return Float64Array.from(values)
}

const correlation = (a: Float64Array, b: Float64Array) => {
  const mean = (v: Float64Array) => v.reduce((s, x) => s + x, 0) / v.length
  const [ma, mb] = [mean(a), mean(b)]
  let [ab, aa, bb] = [0, 0, 0]
  for (let i = 0; i < a.length; i++) {
    ab += (a[i] - ma) * (b[i] - mb)
    aa += (a[i] - ma) ** 2
    bb += (b[i] - mb) ** 2
  }
  return ab / Math.sqrt(aa * bb)
}

describe('the painting', () => {
  it('is the same for the same seed and another for another', () => {
    const again = paint(SCENE)
    expect(sha(again.truth.planes[0])).toBe(sha(painting.truth.planes[0]))
    expect(sha(again.heightUm)).toBe(sha(painting.heightUm))
    expect(again.probes).toEqual(painting.probes)
    expect(sha(paint({ ...SCENE, seed: 12 }).truth.planes[0])).not.toBe(sha(painting.truth.planes[0]))
  })

  it('leaves margins and islands blank, in warm paper of about L* 95', () => {
    const share = painting.blank.reduce((a, b) => a + b, 0) / painting.blank.length
    expect(share).toBeGreaterThan(0.1)
    expect(share).toBeLessThan(0.4)
    const i = 3 * SCENE.width + 3
    expect(painting.blank[i]).toBe(1)
    const [l, , b] = xyzD50ToLab(
      apply3(WORKING_TO_XYZ_D50, painting.truth.planes.map((p) => p[i]) as Vector3),
    )
    expect(Math.abs(l - 95)).toBeLessThan(1)
    expect(b).toBeGreaterThan(1)
  })

  it('lies inside sRGB, so that a truth capture cuts nothing off', () => {
    const { raster } = capture(painting, { ...PLAIN, reliefDepth: 0, gain: 1 })
    expect(psnrSrgb(painting.truth, decoded(raster))).toBeGreaterThan(85)
  })

  it('has marks darker than the ground beside them', () => {
    for (const kind of ['pencil', 'stroke'] as const) {
      const pairs = painting.probes.filter((probe) => probe.kind === kind).flatMap((probe) => probe.pairs)
      expect(pairs.length).toBeGreaterThan(20)
      const y = ([x, row]: [number, number]) => painting.truth.planes[1][row * SCENE.width + x]
      const darker = pairs.filter(({ on, beside }) => y(on) < y(beside)).length
      expect(darker / pairs.length).toBeGreaterThan(0.95)
      expect(contrastKept(painting.truth, painting.truth, painting.probes, kind)).toBe(1)
    }
  })

  it('has more paint in the valleys than on the tops', () => {
    const [paint, valley]: number[][] = [[], []]
    painting.granulation.forEach((share, i) => {
      if (painting.blank[i]) return
      paint.push(share)
      valley.push(-painting.heightUm[i])
    })
    expect(correlation(Float64Array.from(paint), Float64Array.from(valley))).toBeGreaterThan(0.6)
  })
})

describe('a capture', () => {
  const lit = (request: Partial<CaptureRequest>) => capture(painting, { ...PLAIN, ...request }).raster
  const shade = (request: Partial<CaptureRequest>) =>
    shadeOnBlank(decoded(lit(request), PLAIN.gain), painting.truth, painting.blank)
  const rms = (v: Float64Array) => Math.sqrt(v.reduce((s, x) => s + x * x, 0) / v.length)

  it('gives the same bytes for the same request', () => {
    const noisy = { noise: 0.01, blurPx: 0.6, falloff: 0.2, device: 'scanner' } as const
    expect(sha(lit(noisy).data)).toBe(sha(lit(noisy).data))
    expect(sha(lit({ ...noisy, seed: 6 }).data)).not.toBe(sha(lit(noisy).data))
  })

  it('without relief, blur and noise is the truth', () => {
    const tile = decoded(lit({ reliefDepth: 0 }), PLAIN.gain)
    expect(psnrSrgb(painting.truth, tile)).toBeGreaterThan(85)
  })

  it.each<[SheetKind, number, number]>([
    ['tooth', 3, 8],
    ['laid', 2, 6],
    ['weave', 2.5, 8],
    ['smooth', 0.3, 1.5],
  ])('shades %s by %d to %d per cent, in proportion to the depth', (sheet, low, high) => {
    const paper = paint({ ...SCENE, ppi: 300, sheet })
    const shading = (reliefDepth: number) =>
      rms(
        shadeOnBlank(
          decoded(capture(paper, { ...PLAIN, blurPx: 0.4, reliefDepth, lampFromDeg: 30 }).raster, PLAIN.gain),
          ...([paper.truth, paper.blank] as const),
        ),
      )
    const ordinary = shading(1)
    expect(100 * ordinary).toBeGreaterThan(low)
    expect(100 * ordinary).toBeLessThan(high)
    expect(shading(0.5) / ordinary).toBeGreaterThan(0.4)
    expect(shading(0.5) / ordinary).toBeLessThan(0.55)
  })

  it('shades against the truth when the sheet lies turned by 180 degrees', () => {
    const turned = lit({ turned: 180 })
    const back = emptyRaster(turned.width, turned.height)
    const n = turned.width * turned.height
    for (let i = 0; i < n; i++)
      for (let c = 0; c < 3; c++) back.data[3 * i + c] = turned.data[3 * (n - 1 - i) + c]
    const flipped = shadeOnBlank(decoded(back, PLAIN.gain), painting.truth, painting.blank)
    expect(correlation(shade({}), flipped)).toBeLessThan(-0.8)
  })

  it('loses the stated light at the darkest corner', () => {
    const board = blankBoard({ ...PLAIN, width: 120, height: 90, falloff: 0.3, dust: 0, device: 'scanner' })
    const { decode } = space('sRGB')
    const light = Array.from(board.data, (v) => decode(v / 65535))
    const [low, high] = light.reduce(([a, b], v) => [Math.min(a, v), Math.max(b, v)], [1, 0])
    expect(Math.abs(1 - low / high - 0.3)).toBeLessThan(0.005)
  })

  it('sees other numbers than the truth where the device has eyes of its own', () => {
    const scanned = decoded(lit({ device: 'scanner', reliefDepth: 0 }), PLAIN.gain! * 0.9)
    expect(psnrSrgb(painting.truth, scanned)).toBeLessThan(35)
    expect(psnrSrgb(painting.truth, scanned)).toBeGreaterThan(15)
  })

  /** Where a smooth blob of the truth, its centre of mass known, is found in the capture. */
  it.each([0, 90, 180, 270] as const)('lies where its transform says, turned %d', (turned) => {
    const spot = spotted(200.3, 140.6)
    const crop = { x: 120.37, y: 80.81, width: 170, height: 130, rotationDeg: 1.3 }
    const { raster, toPainting } = capture(spot, { ...PLAIN, reliefDepth: 0, turned, crop })
    const [mx, my] = darkness(raster)
    const [a, b, c, d, e, f] = toPainting
    expect(Math.abs(a * mx + b * my + c - 200.3)).toBeLessThan(0.05)
    expect(Math.abs(d * mx + e * my + f - 140.6)).toBeLessThan(0.05)
  })
})

/** A painting whose truth is one soft dark spot on white. */
function spotted(x0: number, y0: number) {
  const spot = (x: number, y: number) => 0.9 - 0.6 * Math.exp(-((x - x0) ** 2 + (y - y0) ** 2) / (2 * 4 ** 2))
  const plane = Float32Array.from({ length: SCENE.width * SCENE.height }, (_, i) =>
    spot(i % SCENE.width, Math.floor(i / SCENE.width)),
  )
  return { ...painting, truth: { ...painting.truth, planes: [plane, plane, plane] as Tile['planes'] } }
}

function darkness({ width, height, data }: Raster): [number, number] {
  const { decode } = space('sRGB')
  let [sum, x, y] = [0, 0, 0]
  for (let i = 0; i < width * height; i++) {
    const weight = Math.max(0.9 * 0.8 - decode(data[3 * i + 1] / 65535) - 0.002, 0)
    sum += weight
    x += weight * (i % width)
    y += weight * Math.floor(i / width)
  }
  return [x / sum, y / sum]
}

describe('cutting up', () => {
  const tiles = cutUp(painting, {
    ...{ ...PLAIN, columns: 2, rows: 2, overlap: 0.25, rotationDeg: 0.4, jitterPx: 3 },
    ...{ turnedTiles: [3], gainSpread: 0.05, seed: 8 },
  })

  it('covers the sheet with overlapping tiles that stay on it', () => {
    expect(tiles).toHaveLength(4)
    for (const {
      raster,
      toPainting: [a, b, c, d, e, f],
    } of tiles) {
      for (const x of [0, raster.width - 1]) {
        for (const y of [0, raster.height - 1]) {
          expect(a * x + b * y + c).toBeGreaterThanOrEqual(0)
          expect(a * x + b * y + c).toBeLessThanOrEqual(SCENE.width - 1)
          expect(d * x + e * y + f).toBeGreaterThanOrEqual(0)
          expect(d * x + e * y + f).toBeLessThanOrEqual(SCENE.height - 1)
        }
      }
    }
    const area = tiles.reduce((sum, { raster }) => sum + raster.width * raster.height, 0)
    expect(area).toBeGreaterThan(1.2 * SCENE.width * SCENE.height)
  })

  it('turns the tiles it is told to', () => {
    expect(tiles.map(({ turned }) => turned)).toEqual([0, 0, 0, 180])
    expect(tiles[3].toPainting[0]).toBeLessThan(-0.99)
    expect(tiles[0].toPainting[0]).toBeGreaterThan(0.99)
  })
})

describe('the measures', () => {
  const shaded = decoded(capture(painting, PLAIN).raster, PLAIN.gain)
  const halfway = (share: number): Tile => ({
    ...shaded,
    planes: shaded.planes.map((plane, c) =>
      plane.map((v, i) => v + share * (painting.truth.planes[c][i] - v)),
    ) as Tile['planes'],
  })

  it('states a tenth of the relief as -20 dB', () => {
    expect(reliefLeftDb(painting.truth, shaded, halfway(0.9), painting.blank)).toBeCloseTo(-20, 1)
    expect(reliefLeftDb(painting.truth, shaded, shaded, painting.blank)).toBe(0)
  })

  it('gives 20 dB more for a tenth of the difference', () => {
    const gained = psnrSrgb(painting.truth, halfway(0.9)) - psnrSrgb(painting.truth, shaded)
    expect(gained).toBeGreaterThan(18)
    expect(gained).toBeLessThan(22)
  })

  it('finds pencil and granulation whole in the capture, and less of both in a blurred truth', () => {
    expect(contrastKept(painting.truth, shaded, painting.probes, 'pencil')).toBeGreaterThan(0.9)
    expect(granulationKept(painting.truth, shaded, painting.granulation, painting.blank)).toBeGreaterThan(
      0.85,
    )
    const { raster } = capture(painting, { ...PLAIN, reliefDepth: 0, blurPx: 2 })
    const soft = decoded(raster, PLAIN.gain)
    expect(contrastKept(painting.truth, soft, painting.probes, 'pencil')).toBeLessThan(0.7)
    expect(granulationKept(painting.truth, soft, painting.granulation, painting.blank)).toBeLessThan(0.7)
  })
})
