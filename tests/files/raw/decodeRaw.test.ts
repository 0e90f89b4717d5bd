import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { apply3, invert3, multiply3, type Vector3 } from '../../../src/colour/matrix3.js'
import { rawTransform } from '../../../src/colour/rawTransform.js'
import { workingTo } from '../../../src/colour/working.js'
import { RequestError } from '../../../src/errors.js'
import { decodePicture } from '../../../src/files/decodePicture.js'
import { decodeRaw } from '../../../src/files/raw/decodeRaw.js'
import { readHeader } from '../../../src/files/readHeader.js'
import { temporaryFolder } from '../../helpers/temporaryFolder.js'
import { handBuiltTiff } from '../handBuiltTiff.js'
import { handBuiltDng, type Mosaic } from './handBuiltDng.js'

const [WIDTH, HEIGHT] = [48, 32]
const [BLACK, WHITE] = [2000, 60000]

/** A mosaic of flat fields: the camera's three numbers for each half of the picture, 0..1. */
function mosaic(left: Vector3, right: Vector3): number[] {
  const samples: number[] = []
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const value = (x < WIDTH / 2 ? left : right)[(y & 1) + (x & 1)]
      samples.push(Math.round(BLACK + value * (WHITE - BLACK)))
    }
  }
  return samples
}

async function written(picture: Partial<Mosaic>): Promise<string> {
  const path = join(await temporaryFolder(), 'frame.dng')
  const facts = { width: WIDTH, height: HEIGHT, black: BLACK, white: WHITE, samples: [] }
  await writeFile(path, handBuiltDng({ ...facts, ...picture }))
  return path
}

/** The bytes of a TIFF moved back by `by`, its offsets along, so that another can stand before it. */
function movedBack(tiff: Uint8Array, by: number): Uint8Array {
  const copy = Uint8Array.from(tiff)
  const view = new DataView(copy.buffer)
  const directory = view.getUint32(4, true)
  const bytesOf: Record<number, number> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 10: 8 }
  for (let i = 0; i < view.getUint16(directory, true); i++) {
    const entry = directory + 2 + 12 * i
    const outside = view.getUint32(entry + 4, true) * bytesOf[view.getUint16(entry + 2, true)] > 4
    const strip = view.getUint16(entry, true) === 273
    if (outside || strip) view.setUint32(entry + 8, view.getUint32(entry + 8, true) + by, true)
  }
  return copy
}

/** A camera's usual layout: a small developed preview first, the mosaic in a directory that it points to (SubIFDs). */
function behindPreview(dng: Uint8Array): Uint8Array {
  const preview = (pointer: number) =>
    handBuiltTiff({
      ...{ width: 8, height: 6, bits: 8, samples: new Array(144).fill(99) },
      fields: [
        [254, 4, [1]],
        [330, 4, [pointer]],
      ],
    })
  const by = preview(0).length
  const directory = new DataView(dng.buffer).getUint32(4, true)
  return Buffer.concat([preview(by + directory), movedBack(dng, by)])
}

/** The same file with its strip of pixels said to begin elsewhere. */
function withPixelsAt(dng: Uint8Array, at: number): Uint8Array {
  const copy = Uint8Array.from(dng)
  const view = new DataView(copy.buffer)
  const directory = view.getUint32(4, true)
  for (let i = 0; i < view.getUint16(directory, true); i++) {
    const entry = directory + 2 + 12 * i
    if (view.getUint16(entry, true) === 273) view.setUint32(entry + 8, at, true)
  }
  return copy
}

describe('a camera raw file', () => {
  it('gives the mosaic’s own numbers as linear light, upright, and its white balance as a reading', async () => {
    const [left, right]: Vector3[] = [
      [0.2, 0.4, 0.32],
      [0.05, 0.8, 0.1],
    ]
    const samples = mosaic(left, right)
    const path = await written({
      ...{ samples, neutral: [0.5, 0.8] },
      exposure: { time: [1, 60], fNumberTenths: 80, iso: 100 },
    })
    const header = await readHeader(path)
    expect(header).toMatchObject({ format: 'raw', width: WIDTH, height: HEIGHT, depth: 16 })
    expect(header.conditions).toMatchObject({ device: 'Stand Forty', timeS: 1 / 60, fNumber: 8, iso: 100 })
    expect(header.raw!.whiteBalance.red).toBeCloseTo(2, 5)
    expect(header.raw!.whiteBalance.blue).toBeCloseTo(1.25, 5)
    const { raster } = await decodePicture(path)
    const at = (x: number) => Array.from(raster.data.subarray(3 * (16 * WIDTH + x), 3 * (16 * WIDTH + x) + 3))
    // Balanced by (2, 1, 1.25) with the largest brought to 1: nothing else is done to the numbers.
    const expected = ([r, g, b]: Vector3) => [r * 1, g * 0.5, b * 0.625].map((v) => v * 65535)
    for (const [x, field] of [
      [8, left],
      [40, right],
    ] as const) {
      at(x).forEach((value, c) => {
        expect(Math.abs(value - expected(field)[c])).toBeLessThanOrEqual(2)
      })
    }
    // The numbers are not stretched: twice the light is twice the number (no automatic brightening).
    const twice = await decodePicture(
      await written({ samples: mosaic([0.1, 0.2, 0.16], [0.1, 0.2, 0.16]), neutral: [0.5, 0.8] }),
    )
    expect(twice.raster.data[3 * (16 * WIDTH + 8) + 1] / at(8)[1]).toBeCloseTo(0.5, 3)
  })

  it('keeps a number at the sensor’s white without clipping it by the balance', async () => {
    const path = await written({ samples: mosaic([0.9, 0.9, 0.9], [1, 1, 1]), neutral: [0.5, 0.8] })
    const { raster } = await decodePicture(path)
    const [red, green, blue] = raster.data.subarray(3 * (16 * WIDTH + 8), 3 * (16 * WIDTH + 8) + 3)
    expect(red / 65535).toBeCloseTo(0.9, 3)
    expect(green / 65535).toBeCloseTo(0.45, 3)
    expect(blue / 65535).toBeCloseTo(0.9 * 0.625, 3)
  })

  it('comes out in the colours its matrix says (DNG 1.4, chapter 6, worked backwards from sRGB)', async () => {
    // IEC 61966-2-1: linear sRGB to XYZ under D65.
    const srgbToXyz = [0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505]
    const xyzToCamera = [0.7, -0.2, -0.06, -0.5, 1.3, 0.2, -0.1, 0.2, 0.7]
    const camera = (rgb: Vector3) => apply3(multiply3(xyzToCamera, srgbToXyz), rgb)
    const white = camera([1, 1, 1])
    const [first, second]: Vector3[] = [
      [0.6, 0.25, 0.2],
      [0.3, 0.3, 0.3],
    ]
    const full = 1 / Math.max(...white)
    const scaled = (rgb: Vector3) => camera(rgb).map((v) => v * full) as Vector3
    const path = await written({
      samples: mosaic(scaled(first), scaled(second)),
      neutral: [white[0] / white[1], white[2] / white[1]],
      xyzToCamera,
    })
    const { raw } = await readHeader(path)
    const raster = await decodeRaw(path, raw!.whiteBalance)
    const source = captureSource(raster, rawTransform(raw!.whiteBalance, raw!.toSrgb))
    const seen = (x: number) => {
      const { planes } = source.region({ x, y: 16, width: 1, height: 1 })
      return apply3(workingTo('sRGB'), planes.map((plane) => plane[0] / (white[1] * full)) as Vector3)
    }
    for (const [x, rgb] of [
      [8, first],
      [40, second],
    ] as const) {
      seen(x).forEach((value, c) => {
        expect(Math.abs(value - rgb[c])).toBeLessThan(0.002)
      })
    }
  })

  it('is balanced alike with another capture when told so, and comes out the same', async () => {
    const samples = mosaic([0.2, 0.4, 0.3], [0.2, 0.4, 0.3])
    const own = await written({ samples, neutral: [0.5, 0.8] })
    const other = { red: 1.4, blue: 1.9 }
    const toSrgb = invert3([0.9, 0.1, 0, 0.1, 0.8, 0.1, 0, 0.2, 0.8])
    const light = async (balance: { red: number; blue: number }) => {
      const source = captureSource(await decodeRaw(own, balance), rawTransform(balance, undefined))
      return source.region({ x: 8, y: 16, width: 1, height: 1 }).planes.map((plane) => plane[0])
    }
    const [asShot, alike] = [await light({ red: 2, blue: 1.25 }), await light(other)]
    expect(alike[1]).toBeCloseTo(asShot[1], 4)
    expect(alike[0] / asShot[0]).toBeCloseTo(1.4 / 2, 3)
    expect(alike[2] / asShot[2]).toBeCloseTo(1.9 / 1.25, 3)
    expect(rawTransform(other, toSrgb).kind).toBe('matrix')
  })

  it('is found behind the preview that cameras put first', async () => {
    const samples = mosaic([0.2, 0.4, 0.32], [0.05, 0.8, 0.1])
    const plain = {
      width: WIDTH,
      height: HEIGHT,
      black: BLACK,
      white: WHITE,
      samples,
      neutral: [0.5, 0.8] as [number, number],
    }
    const folder = await temporaryFolder()
    const [first, second] = [join(folder, 'plain.dng'), join(folder, 'behind.dng')]
    await writeFile(first, handBuiltDng(plain))
    await writeFile(second, behindPreview(handBuiltDng(plain)))
    expect(await readHeader(second)).toMatchObject({ format: 'raw', width: WIDTH, height: HEIGHT })
    const { raster } = await decodePicture(second)
    expect(raster.data).toEqual((await decodePicture(first)).raster.data)
  })

  it('is turned upright', async () => {
    const samples = mosaic([0.2, 0.2, 0.2], [0.6, 0.6, 0.6])
    const path = await written({ samples, orientation: 6 })
    expect(await readHeader(path)).toMatchObject({ width: HEIGHT, height: WIDTH, orientation: 1 })
    const { raster } = await decodePicture(path)
    // EXIF orientation 6: what is stored at the left stands at the top.
    expect(raster.data[3 * (8 * HEIGHT + 16) + 1]).toBeLessThan(raster.data[3 * (40 * HEIGHT + 16) + 1] / 2)
  })

  it('that cannot be read is refused with the way round it', async () => {
    const folder = await temporaryFolder()
    const dng = handBuiltDng({ width: WIDTH, height: HEIGHT, samples: mosaic([0.2, 0.2, 0.2], [0, 0, 0]) })
    const cases: [string, Uint8Array][] = [
      ['cut.dng', dng.subarray(0, 2500)],
      ['beyond.dng', withPixelsAt(dng, dng.length - 500)],
      [
        'none.raf',
        new TextEncoder().encode('FUJIFILMCCD-RAW 0201 and nothing else at all, for a good while'),
      ],
      [
        'none.cr3',
        new Uint8Array([0, 0, 0, 24, ...new TextEncoder().encode('ftypcrx isom'), ...new Array(80).fill(0)]),
      ],
    ]
    for (const [name, bytes] of cases) {
      const path = join(folder, name)
      await writeFile(path, bytes)
      const error = await decodePicture(path).catch((caught) => caught)
      expect(error, name).toBeInstanceOf(RequestError)
      expect(error.message, name).toMatch(/cut short|damaged|linear 16-bit TIFF/)
    }
  })
})
