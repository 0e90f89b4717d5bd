import { mkdir, readdir, readFile, symlink, writeFile } from 'node:fs/promises'
import sharp from 'sharp'
import { beforeAll, describe, expect, it } from 'vitest'
import { RequestError } from '../../src/errors.js'
import { plausiblePpi } from '../../src/files/plausiblePpi.js'
import { readHeader } from '../../src/files/readHeader.js'
import { handBuiltTiff } from './handBuiltTiff.js'
import { failure, scratchFolder, values } from './scratch.js'

const at = scratchFolder()
const width = 7
const height = 5
const samples = values(width * height * 3, 65535)
const eight = Uint8Array.from(values(width * height * 3, 255))
const picture = () => sharp(eight, { raw: { width, height, channels: 3 } })
const tiff = async (name: string, options: Partial<Parameters<typeof handBuiltTiff>[0]>) => {
  await writeFile(at(name), handBuiltTiff({ width, height, samples, ...options }))
  return at(name)
}

describe('resolution', () => {
  const inTiff = async (x: number[], unit?: number, y = x) =>
    (
      await readHeader(
        await tiff('ppi.tif', {
          fields: [
            [282, 5, x],
            [283, 5, y],
            ...(unit === undefined ? [] : [[296, 3, [unit]] as [number, number, number[]]]),
          ],
        }),
      )
    ).ppi

  it('of a TIFF is its rational in the unit it states; the unit is inch where it states none (TIFF 6.0)', async () => {
    expect(await inTiff([600, 1], 2)).toBe(600)
    expect(await inTiff([1200, 2])).toBe(600)
    expect(await inTiff([2405, 10], 2)).toBe(240.5)
    expect(await inTiff([200, 1], 3)).toBe(508) // 200 a centimetre
  })

  it('of a TIFF without an absolute unit (unit 1) is unknown', async () => {
    expect(await inTiff([600, 1], 1)).toBeUndefined()
  })

  it('that no capture has is not believed: 0, 1, 72, broken, different across and down', async () => {
    for (const [x, y] of [
      [[0, 1]],
      [[1, 1]],
      [[72, 1]],
      [[600, 0]],
      [
        [600, 1],
        [300, 1],
      ],
    ]) {
      expect(await inTiff(x, 2, y)).toBeUndefined()
    }
  })

  it('that is not believed is said aloud where a program wrote it on purpose', () => {
    expect(plausiblePpi(72).note).toMatch(/72 ppi/)
    expect(plausiblePpi(600, 300).note).toMatch(/600 ppi across and 300 ppi down/)
    expect(plausiblePpi(1).note).toBeUndefined()
    expect(plausiblePpi(25.4)).toEqual({})
    expect(plausiblePpi(undefined)).toEqual({})
  })

  it('of a PNG, kept in whole pixels a metre, comes back as the whole number it was', async () => {
    for (const ppi of [96, 150, 240, 300, 360, 600, 720, 1200]) {
      await picture().withMetadata({ density: ppi }).png().toFile(at('ppi.png'))
      expect((await readHeader(at('ppi.png'))).ppi).toBe(ppi)
    }
    await picture().png().toFile(at('bare.png'))
    expect((await readHeader(at('bare.png'))).ppi).toBeUndefined()
  })

  it('of a JPEG is read from JFIF, and from EXIF where that knows better', async () => {
    await picture().withMetadata({ density: 600 }).jpeg().toFile(at('ppi.jpg'))
    expect((await readHeader(at('ppi.jpg'))).ppi).toBe(600)
    // JFIF (ISO/IEC 10918-5): APP0, 16 bytes, version 1.02, unit, density across and down, no thumbnail
    const bare = await picture().jpeg().toBuffer()
    const jfif = async (unit: number, density: number) => {
      const app0 = Buffer.from([0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0, 1, 2, unit, 0, 0, 0, 0, 0, 0])
      app0.writeUInt16BE(density, 12)
      app0.writeUInt16BE(density, 14)
      await writeFile(at('jfif.jpg'), Buffer.concat([bare.subarray(0, 2), app0, bare.subarray(2)]))
      return (await readHeader(at('jfif.jpg'))).ppi
    }
    expect(await jfif(1, 300)).toBe(300) // an inch
    expect(await jfif(2, 200)).toBe(508) // a centimetre
    expect(await jfif(0, 300)).toBeUndefined() // an aspect ratio
  })
})

describe('shape', () => {
  it('is stated after the orientation', async () => {
    for (const orientation of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const header = await readHeader(await tiff('turned.tif', { orientation }))
      const [w, h] = orientation >= 5 ? [height, width] : [width, height]
      expect(header).toMatchObject({ orientation, width: w, height: h })
      for (const format of ['png', 'jpeg'] as const) {
        await picture().withMetadata({ orientation }).toFormat(format).toFile(at('turned'))
        expect(await readHeader(at('turned'))).toMatchObject({ orientation, width: w, height: h })
      }
    }
  })

  it('has the depth that is in the file', async () => {
    expect(await readHeader(await tiff('16.tif', {}))).toMatchObject({
      format: 'tif',
      depth: 16,
      channels: 3,
    })
    const low = await tiff('8.tif', { bits: 8, samples: [...eight] })
    expect(await readHeader(low)).toMatchObject({ depth: 8, channels: 3, alpha: false })
    await picture().greyscale().toColourspace('b-w').png().toFile(at('grey.png'))
    expect(await readHeader(at('grey.png'))).toMatchObject({ format: 'png', depth: 8, channels: 1 })
    await picture().ensureAlpha().png().toFile(at('alpha.png'))
    expect(await readHeader(at('alpha.png'))).toMatchObject({ depth: 8, channels: 4, alpha: true })
  })

  it('counts an unspecified fourth channel but takes it for no alpha', async () => {
    const four = { channels: 4, samples: values(width * height * 4, 65535) }
    expect(await readHeader(await tiff('4.tif', { ...four, extraSamples: [0] }))).toMatchObject({
      channels: 4,
      alpha: false,
    })
    expect(await readHeader(await tiff('4a.tif', { ...four, extraSamples: [2] }))).toMatchObject({
      alpha: true,
    })
  })

  it('follows a link', async () => {
    await tiff('real.tif', {})
    await symlink(at('real.tif'), at('link.tif'))
    expect((await readHeader(at('link.tif'))).bytes).toBe((await readFile(at('real.tif'))).length)
  })
})

describe('embedded profile', () => {
  it('is given byte for byte, as libvips finds it, in all three containers', async () => {
    for (const format of ['tiff', 'png', 'jpeg'] as const) {
      const file = at(`p3.${format}`)
      await picture().withIccProfile('p3').toFormat(format).toFile(file)
      const { icc } = await sharp(file).metadata()
      expect(icc!.length).toBeGreaterThan(300)
      expect(Buffer.from((await readHeader(file)).profile!)).toEqual(icc)
    }
  })

  it('is absent where none is', async () => {
    await picture().png().toFile(at('untagged.png'))
    expect((await readHeader(at('untagged.png'))).profile).toBeUndefined()
  })
})

/** A TIFF that claims 12 bits a sample, as some cameras' software writes. */
function twelveBits(): Uint8Array {
  const bytes = handBuiltTiff({ width, height, samples: samples.slice(0, width * height), channels: 1 })
  const view = new DataView(bytes.buffer)
  const directory = view.getUint32(4, true)
  for (let i = 0; i < view.getUint16(directory, true); i++) {
    const entry = directory + 2 + i * 12
    if (view.getUint16(entry, true) === 258) view.setUint16(entry + 8, 12, true)
  }
  return bytes
}

describe('what cannot be used', () => {
  beforeAll(async () => {
    await mkdir(at('folder.tif'))
    await writeFile(at('empty.tif'), '')
    await writeFile(at('note.tif'), 'not a picture at all, only words')
    await writeFile(at('one.tif'), 'I')
    const whole = handBuiltTiff({ width, height, samples })
    await writeFile(at('cut-directory.tif'), whole.subarray(0, whole.length - 60))
    await writeFile(at('cut-head.tif'), whole.subarray(0, 6))
    const strip = handBuiltTiff({ width, height, samples, fields: [] })
    new DataView(strip.buffer).setUint32(4, 8, true) // the directory where the pixels are
    await writeFile(at('nonsense.tif'), strip)
    await picture().pipelineColourspace('srgb').toColourspace('cmyk').jpeg().toFile(at('cmyk.jpg'))
    await picture().toColourspace('cmyk').tiff({ compression: 'lzw' }).toFile(at('cmyk.tif'))
    await picture()
      .threshold()
      .toColourspace('b-w')
      .tiff({ bitdepth: 1, compression: 'none' })
      .toFile(at('1bit.tif'))
    await picture().threshold().png({ palette: true, colours: 2 }).toFile(at('1bit.png'))
    await picture().webp().toFile(at('web.tif'))
    const jpeg = await picture().jpeg().toBuffer()
    await writeFile(at('cut.jpg'), jpeg.subarray(0, 100))
    const png = await picture().png().toBuffer()
    await writeFile(at('cut.png'), png.subarray(0, 20))
    await writeFile(at('float.tif'), handBuiltTiff({ width, height, samples, fields: [[339, 3, [3, 3, 3]]] }))
    await writeFile(at('12bit.tif'), twelveBits())
    await writeFile(at('lab.tif'), handBuiltTiff({ width, height, samples, photometric: 8 }))
    await writeFile(at('preview.tif'), handBuiltTiff({ width, height, samples, fields: [[254, 4, [1]]] }))
    await writeFile(
      at('dots.tif'),
      handBuiltTiff({ width, height, samples: samples.slice(0, 35), channels: 1, photometric: 32803 }),
    )
  })

  it.each([
    ['nowhere.tif', /no such file/],
    ['folder.tif', /a folder, not a picture/],
    ['empty.tif', /is empty \(expected .*, found 0 bytes\)/],
    ['note.tif', /not a picture .*found a text file/],
    ['one.tif', /not a picture/],
    ['web.tif', /found a WebP/],
    ['cut-directory.tif', /cut short/],
    ['cut-head.tif', /not a picture|cut short/],
    ['cut.jpg', /cut short/],
    ['cut.png', /cut short/],
    ['nonsense.tif', /damaged|cut short/],
    ['cmyk.jpg', /CMYK.*expected an RGB or grey capture, found 4 ink channels/],
    ['cmyk.tif', /CMYK/],
    ['1bit.tif', /1-bit line art/],
    ['1bit.png', /1-bit line art/],
    ['float.tif', /floating-point/],
    ['lab.tif', /found CIELAB/],
    ['12bit.tif', /whole numbers of 8 or 16 bits.*found 12-bit samples/],
    ['preview.tif', /undeveloped camera file/],
    ['dots.tif', /undeveloped camera file/],
  ])('%s: a request error that names it and says what to do', async (name, words) => {
    const before = await readdir(at())
    const error = await failure(readHeader(at(name)))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.exitStatus).toBe(2)
    expect(error.message).toMatch(words)
    expect(error.message.startsWith(`${at(name)}: `)).toBe(true)
    const [problem] = (error as unknown as RequestError).problems
    expect(problem.todo).toBeTruthy()
    expect(await readdir(at())).toEqual(before)
  })

  it('is said, with the bytes missing, where strips lie beyond the end', async () => {
    const whole = handBuiltTiff({ width, height, samples })
    const view = new DataView(whole.buffer)
    const directory = view.getUint32(4, true)
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + i * 12
      if (view.getUint16(entry, true) === 273) view.setUint32(entry + 8, whole.length - 10, true)
    }
    await writeFile(at('beyond.tif'), whole)
    const error = await failure(readHeader(at('beyond.tif')))
    expect(error.message).toContain(
      `expected at least ${whole.length - 10 + width * height * 6} bytes, found ${whole.length} bytes`,
    )
  })

  it('does not include a TIFF with a second picture, which is only remarked on', async () => {
    const whole = handBuiltTiff({ width, height, samples })
    const view = new DataView(whole.buffer)
    const directory = view.getUint32(4, true)
    view.setUint32(directory + 2 + view.getUint16(directory, true) * 12, directory, true)
    await writeFile(at('two.tif'), whole)
    expect((await readHeader(at('two.tif'))).notes.join()).toMatch(/more than one picture/)
  })
})
