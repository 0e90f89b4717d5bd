import { writeFile } from 'node:fs/promises'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { Interrupted, RequestError } from '../../src/errors.js'
import { decodePicture } from '../../src/files/decodePicture.js'
import { type HandBuilt, handBuiltTiff } from './handBuiltTiff.js'
import { failure, scratchFolder, values } from './scratch.js'

const at = scratchFolder()
const width = 21
const height = 17
const samples = values(width * height * 3, 65535)
const eight = values(width * height * 3, 255, 2)
const rgb16 = () =>
  sharp(Uint16Array.from(samples), { raw: { width, height, channels: 3 } }).toColourspace('rgb16')
const rgb8 = () => sharp(Uint8Array.from(eight), { raw: { width, height, channels: 3 } })
const times257 = (list: readonly number[]) => list.map((v) => v * 257)

async function decodedHand(picture: Partial<HandBuilt>) {
  await writeFile(at('hand.tif'), handBuiltTiff({ width, height, samples, ...picture }))
  return decodePicture(at('hand.tif'))
}

describe('16 bits come out exactly as they went in', () => {
  const forms: [string, Partial<HandBuilt>][] = [
    ['one strip', {}],
    ['a row a strip', { rowsPerStrip: 1 }],
    ['strips that do not divide the height', { rowsPerStrip: 5 }],
    ['Motorola byte order', { bigEndian: true, rowsPerStrip: 4 }],
    ['BigTIFF', { big: true, rowsPerStrip: 4 }],
    ['BigTIFF, Motorola byte order', { big: true, bigEndian: true }],
    ['tiles', { tile: 16 }],
    ['BigTIFF in tiles', { tile: 16, big: true }],
    ['separate planes', { separate: true }],
    ['separate planes in strips, BigTIFF', { separate: true, rowsPerStrip: 3, big: true }],
    ['separate planes, deflate, Motorola byte order', { separate: true, deflate: true, bigEndian: true }],
    ['deflate in one strip', { deflate: true }],
    ['deflate in tiles, BigTIFF', { deflate: true, tile: 16, big: true }],
  ]
  it.each(forms)('TIFF: %s', async (_, form) => {
    const { raster, header, notes } = await decodedHand(form)
    expect(header).toMatchObject({ width, height, depth: 16 })
    expect(raster).toMatchObject({ width, height })
    expect(raster.data.buffer).toBeInstanceOf(SharedArrayBuffer)
    expect([...raster.data]).toEqual(samples)
    expect(notes).toEqual([])
  })

  it.each([
    ['LZW', { compression: 'lzw' }],
    ['LZW with predictor', { compression: 'lzw', predictor: 'horizontal' }],
    ['deflate with predictor', { compression: 'deflate', predictor: 'horizontal' }],
    ['LZW in tiles', { compression: 'lzw', tile: true, tileWidth: 16, tileHeight: 16 }],
  ] as const)('TIFF: %s', async (_, options) => {
    await rgb16().tiff(options).toFile(at('packed.tif'))
    expect([...(await decodePicture(at('packed.tif'))).raster.data]).toEqual(samples)
  })

  it('PNG, also interlaced, also with a profile in it', async () => {
    for (const progressive of [false, true]) {
      await rgb16().png({ progressive }).toFile(at('deep.png'))
      expect([...(await decodePicture(at('deep.png'))).raster.data]).toEqual(samples)
    }
    await rgb16().withIccProfile('p3').png().toFile(at('tagged.png'))
    const { raster, header } = await decodePicture(at('tagged.png'))
    expect(header.profile).toBeDefined()
    expect([...raster.data]).toEqual(samples)
  })

  it('a strip longer than it need be, as some drivers pad it', async () => {
    const bytes = handBuiltTiff({ width, height, samples })
    const view = new DataView(bytes.buffer)
    const directory = view.getUint32(4, true)
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + i * 12
      if (view.getUint16(entry, true) === 279) view.setUint32(entry + 8, width * height * 6 + 12, true)
    }
    await writeFile(at('padded.tif'), bytes)
    expect([...(await decodePicture(at('padded.tif'))).raster.data]).toEqual(samples)
  })
})

describe('8 bits come out as the value times 257', () => {
  it.each([
    ['one strip', {}],
    ['strips', { rowsPerStrip: 5 }],
    ['tiles', { tile: 16 }],
    ['separate planes', { separate: true }],
    ['deflate', { deflate: true }],
  ] as [string, Partial<HandBuilt>][])('TIFF: %s', async (_, form) => {
    const { raster, header } = await decodedHand({ ...form, bits: 8, samples: eight })
    expect(header.depth).toBe(8)
    expect([...raster.data]).toEqual(times257(eight))
  })

  it('PNG, and a palette', async () => {
    await rgb8().png().toFile(at('8.png'))
    expect([...(await decodePicture(at('8.png'))).raster.data]).toEqual(times257(eight))
    const flat = [10, 200, 30, 250, 0, 128, 255, 255, 255, 1, 2, 3]
    await sharp(Uint8Array.from(flat), { raw: { width: 2, height: 2, channels: 3 } })
      .png({ palette: true, colours: 256, dither: 0 })
      .toFile(at('palette.png'))
    expect((await sharp(at('palette.png')).metadata()).isPalette).toBe(true)
    const { raster, header } = await decodePicture(at('palette.png'))
    expect(header).toMatchObject({ depth: 8, channels: 3 })
    expect([...raster.data]).toEqual(times257(flat))
  })

  it('JPEG: a flat picture within one step of what was put in, embedded profile not applied', async () => {
    const flat = Uint8Array.from({ length: 32 * 32 * 3 }, (_, i) => [180, 90, 40][i % 3])
    const image = sharp(flat, { raw: { width: 32, height: 32, channels: 3 } })
    await image.jpeg({ quality: 100, chromaSubsampling: '4:4:4' }).toFile(at('flat.jpg'))
    const { raster } = await decodePicture(at('flat.jpg'))
    raster.data.forEach((v, i) => {
      expect(v % 257).toBe(0)
      expect(Math.abs(v / 257 - flat[i])).toBeLessThanOrEqual(1)
    })
  })
})

describe('grey and further channels', () => {
  it('grey becomes RGB with equal channels, and says so', async () => {
    for (const bits of [8, 16] as const) {
      const grey = values(width * height, bits === 8 ? 255 : 65535, 3)
      const { raster, notes } = await decodedHand({ bits, channels: 1, samples: grey })
      const scale = bits === 8 ? 257 : 1
      expect([...raster.data]).toEqual(grey.flatMap((v) => [v * scale, v * scale, v * scale]))
      expect(notes.join()).toMatch(/grey/)
    }
    const grey = values(width * height, 65535, 4)
    await sharp(Uint16Array.from(grey), { raw: { width, height, channels: 1 } })
      .toColourspace('grey16')
      .png()
      .toFile(at('grey.png'))
    expect([...(await decodePicture(at('grey.png'))).raster.data]).toEqual(grey.flatMap((v) => [v, v, v]))
  })

  it('a TIFF whose white is zero is turned right side up', async () => {
    const grey = values(width * height, 255, 5)
    const { raster } = await decodedHand({ bits: 8, channels: 1, samples: grey, photometric: 0 })
    expect([...raster.data]).toEqual(grey.flatMap((v) => [255 - v, 255 - v, 255 - v].map((w) => w * 257)))
  })

  const withAlpha = (alpha: (i: number) => number) =>
    Array.from({ length: width * height }, (_, i) => [...samples.slice(i * 3, i * 3 + 3), alpha(i)]).flat()

  it('an alpha channel opaque everywhere is left out, and says so', async () => {
    const four = withAlpha(() => 65535)
    for (const form of [{}, { deflate: true }, { rowsPerStrip: 2 }]) {
      const { raster, notes } = await decodedHand({ ...form, channels: 4, samples: four, extraSamples: [2] })
      expect([...raster.data]).toEqual(samples)
      expect(notes.join()).toMatch(/alpha channel is opaque/)
    }
    await sharp(Uint16Array.from(four), { raw: { width, height, channels: 4 } })
      .toColourspace('rgb16')
      .png()
      .toFile(at('opaque.png'))
    expect([...(await decodePicture(at('opaque.png'))).raster.data]).toEqual(samples)
  })

  it('one pixel that is not opaque is refused, and where it lies is said', async () => {
    const four = withAlpha((i) => (i === 3 * width + 4 ? 65534 : 65535))
    for (const form of [{}, { deflate: true }, { rowsPerStrip: 2 }]) {
      const error = await failure(decodedHand({ ...form, channels: 4, samples: four, extraSamples: [2] }))
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toMatch(/transparent in places.*column 4, row 3.*Flatten it/)
    }
  })

  it('a fourth channel that is no alpha (infrared, a mask) is left out whatever it holds', async () => {
    const four = withAlpha((i) => i * 50)
    for (const form of [{}, { deflate: true }]) {
      const { raster, notes } = await decodedHand({ ...form, channels: 4, samples: four, extraSamples: [0] })
      expect([...raster.data]).toEqual(samples)
      expect(notes.join()).toMatch(/beyond RGB/)
    }
  })
})

describe('EXIF orientation', () => {
  /** Where row 0 and column 0 of the stored picture are seen (Exif 2.3, tag 0112h; TIFF 6.0, Orientation). */
  const SEEN: Record<number, [row0: string, column0: string]> = {
    1: ['top', 'left'],
    2: ['top', 'right'],
    3: ['bottom', 'right'],
    4: ['bottom', 'left'],
    5: ['left', 'top'],
    6: ['right', 'top'],
    7: ['right', 'bottom'],
    8: ['left', 'bottom'],
  }

  function upright(stored: readonly number[], orientation: number): number[] {
    const turned = orientation >= 5
    const [w, h] = turned ? [height, width] : [width, height]
    const out = new Array<number>(stored.length)
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const seen = { x: 0, y: 0 }
        const put = (edge: string, distance: number) => {
          if (edge === 'top') seen.y = distance
          if (edge === 'bottom') seen.y = h - 1 - distance
          if (edge === 'left') seen.x = distance
          if (edge === 'right') seen.x = w - 1 - distance
        }
        put(SEEN[orientation][0], y)
        put(SEEN[orientation][1], x)
        for (let c = 0; c < 3; c++) out[(seen.y * w + seen.x) * 3 + c] = stored[(y * width + x) * 3 + c]
      }
    }
    return out
  }

  it.each([1, 2, 3, 4, 5, 6, 7, 8])(
    '%i moves every pixel to where the standard says',
    async (orientation) => {
      const expected = upright(samples, orientation)
      for (const form of [{}, { rowsPerStrip: 3 }, { deflate: true }, { tile: 16 }]) {
        const { raster } = await decodedHand({ ...form, orientation })
        expect([...raster.data]).toEqual(expected)
      }
      const low = await decodedHand({ bits: 8, samples: eight, orientation })
      expect([...low.raster.data]).toEqual(times257(upright(eight, orientation)))
    },
  )

  it.each([2, 5, 6, 8])('%i agrees with libvips in PNG and JPEG', async (orientation) => {
    for (const format of ['png', 'jpeg'] as const) {
      await rgb8().withMetadata({ orientation }).toFormat(format).toFile(at('turned'))
      const seen = await sharp(at('turned')).autoOrient().raw().toBuffer({ resolveWithObject: true })
      const { raster } = await decodePicture(at('turned'))
      expect(raster).toMatchObject({ width: seen.info.width, height: seen.info.height })
      expect([...raster.data]).toEqual(times257([...seen.data]))
    }
  })
})

describe('what cannot be decoded', () => {
  it.each([
    ['jpg', 0.7],
    ['png', 0.7],
    ['tif', 0.5],
  ])('a %s cut short is refused, not filled with grey', async (format, share) => {
    const big = sharp(Uint8Array.from(values(120 * 90 * 3, 255)), {
      raw: { width: 120, height: 90, channels: 3 },
    })
    const whole = await (format === 'jpg'
      ? big.jpeg()
      : format === 'png'
        ? big.png()
        : big.tiff({ compression: 'lzw' })
    ).toBuffer()
    await writeFile(at(`cut.${format}`), whole.subarray(0, Math.floor(whole.length * share)))
    const error = await failure(decodePicture(at(`cut.${format}`)))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/cut short/)
    expect(error.message).toMatch(/Copy the file again/)
  })

  it('a picture whose packed pixels are garbage is damaged, in words', async () => {
    const whole = handBuiltTiff({ width, height, samples, deflate: true })
    whole.fill(0x5a, 12, 400)
    await writeFile(at('garbage.tif'), whole)
    const error = await failure(decodePicture(at('garbage.tif')))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/damaged|cut short/)
  })

  const noisy = () =>
    sharp(Uint8Array.from(values(120 * 90 * 3, 255)), { raw: { width: 120, height: 90, channels: 3 } })

  it.each(['jpg', 'png', 'tif'])(
    'a %s with bytes changed in its middle is damaged, not taken',
    async (format) => {
      const picture = noisy()
      const whole = await (format === 'jpg'
        ? picture.jpeg()
        : format === 'png'
          ? picture.png()
          : picture.tiff({ compression: 'deflate' })
      ).toBuffer()
      const middle = Math.floor(whole.length / 2)
      for (let i = 0; i < 1000; i++) whole[middle + i] = (i * 89 + 41) & 0xff
      await writeFile(at(`changed.${format}`), whole)
      const error = await failure(decodePicture(at(`changed.${format}`)))
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toMatch(/the file is damaged: .+\. Copy the file again/)
    },
  )

  it('a JPEG with needless bytes before its end is taken, and says so', async () => {
    const whole = await noisy().jpeg({ progressive: true }).toBuffer()
    const end = whole.length - 2
    await writeFile(at('sound.jpg'), whole)
    await writeFile(
      at('needless.jpg'),
      Buffer.concat([whole.subarray(0, end), Buffer.alloc(20, 7), whole.subarray(end)]),
    )
    const sound = await decodePicture(at('sound.jpg'))
    const needless = await decodePicture(at('needless.jpg'))
    expect(sound.notes).toEqual([])
    expect(needless.notes).toEqual([expect.stringMatching(/its decoder remarks ".*extraneous.*"/)])
    expect(needless.raster.data).toEqual(sound.raster.data)
  })

  it('separate planes in tiles, which libvips cannot read, are refused in words', async () => {
    const error = await failure(decodedHand({ separate: true, tile: 16 }))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/packed in a way.*found tiled separate planes.*uncompressed 16-bit TIFF/)
  })

  it('a way of packing nobody here knows is named', async () => {
    const whole = handBuiltTiff({ width, height, samples })
    const view = new DataView(whole.buffer)
    const directory = view.getUint32(4, true)
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + i * 12
      if (view.getUint16(entry, true) === 259) view.setUint16(entry + 8, 34661, true)
    }
    await writeFile(at('unknown.tif'), whole)
    const error = await failure(decodePicture(at('unknown.tif')))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/packed in a way|damaged/)
    expect(error.message).toMatch(/unknown\.tif/)
  })
})

describe('a signal', () => {
  it('stops it, before and during', async () => {
    await rgb16().png().toFile(at('stop.png'))
    expect(await failure(decodePicture(at('stop.png'), { signal: AbortSignal.abort() }))).toBeInstanceOf(
      Interrupted,
    )
    const control = new AbortController()
    const work = decodePicture(at('stop.png'), { signal: control.signal })
    control.abort()
    expect(await failure(work)).toBeInstanceOf(Interrupted)
  })
})
