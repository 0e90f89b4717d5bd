import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { decode } from 'fast-png'
import { fromArrayBuffer } from 'geotiff'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { Interrupted, RequestError, WorkError } from '../../src/errors.js'
import { decodePicture } from '../../src/files/decodePicture.js'
import { eightBits } from '../../src/files/eightBits.js'
import { encodeJpeg } from '../../src/files/encodeJpeg.js'
import { readHeader } from '../../src/files/readHeader.js'
import { tiffHead } from '../../src/files/tiff/tiffHead.js'
import { writeTiff } from '../../src/files/tiff/writeTiff.js'
import { type WriteOptions, writePicture } from '../../src/files/writePicture.js'
import { emptyRaster, type Raster } from '../../src/raster/Raster.js'
import { failure, scratchFolder, values } from './scratch.js'

const at = scratchFolder()
const width = 29
const height = 23
const samples = values(width * height * 3, 65535, 7)
const raster: Raster = emptyRaster(width, height)
raster.data.set(samples)
const rounded = samples.map((v) => Math.round(v / 257))
/** A profile that libvips carries, as it writes it: libpng refuses bytes that are none. */
const profile = new Uint8Array(
  (
    await sharp(
      await sharp(Uint8Array.of(0, 0, 0), { raw: { width: 1, height: 1, channels: 3 } })
        .withIccProfile('p3')
        .png()
        .toBuffer(),
    ).metadata()
  ).icc!,
)
const plain = { ppi: 300, profile: null }

async function written(name: string, options: WriteOptions, picture = raster): Promise<string> {
  await writePicture(at(name), picture, options)
  return at(name)
}

/** A TIFF through a reader that shares no code with us or libvips. */
async function throughGeotiff(path: string) {
  const bytes = await readFile(path)
  const file = await fromArrayBuffer(
    bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer,
  )
  const image = await file.getImage()
  const pixels = (await image.readRasters({ interleave: true })) as unknown as ArrayLike<number>
  const field = (tag: number) => image.fileDirectory.loadValue(tag) as Promise<ArrayLike<number> & number>
  return {
    big: file.bigTiff,
    width: image.getWidth(),
    height: image.getHeight(),
    pixels: Array.from(pixels),
    field,
  }
}

/** The marker segments of a JPEG before its scan (ISO/IEC 10918-1, B.1.1.4). */
function jpegSegments(bytes: Buffer): { marker: number; data: Buffer }[] {
  const found: { marker: number; data: Buffer }[] = []
  for (let p = 2; bytes[p + 1] !== 0xda; p += 2 + bytes.readUInt16BE(p + 2)) {
    found.push({ marker: bytes[p + 1], data: bytes.subarray(p + 4, p + 2 + bytes.readUInt16BE(p + 2)) })
  }
  return found
}

describe('TIFF', () => {
  it('holds 16 bits exactly', async () => {
    const file = await written('16.tif', { ...plain, format: 'tif', depth: 16 })
    const read = await throughGeotiff(file)
    expect(read).toMatchObject({ big: false, width, height })
    expect(read.pixels).toEqual(samples)
    const { data } = await sharp(file)
      .toColourspace('rgb16')
      .raw({ depth: 'ushort' })
      .toBuffer({ resolveWithObject: true })
    expect(Array.from(new Uint16Array(data.buffer, data.byteOffset, data.length / 2))).toEqual(samples)
  })

  it('holds 8 bits rounded', async () => {
    const read = await throughGeotiff(await written('8.tif', { ...plain, format: 'tif', depth: 8 }))
    expect(read.pixels).toEqual(rounded)
  })

  it('is cut into strips of which none is large, also when rows are', async () => {
    const wide = emptyRaster(5000, 80)
    wide.data.set(values(wide.data.length, 65535))
    const read = await throughGeotiff(await written('wide.tif', { ...plain, format: 'tif', depth: 16 }, wide))
    const counts = Array.from(await read.field(279))
    expect(counts.length).toBe(3)
    expect(Math.max(...counts)).toBeLessThanOrEqual(1 << 20)
    expect(counts.reduce((a, b) => a + b)).toBe(5000 * 80 * 6)
    expect(read.pixels).toEqual(Array.from(wide.data))
  })

  it('states the resolution in inches, with fractions', async () => {
    for (const ppi of [300, 240.5, 1200]) {
      const file = await written('ppi.tif', { format: 'tif', depth: 16, ppi, profile: null })
      const read = await throughGeotiff(file)
      const [numerator, denominator] = Array.from(await read.field(282))
      expect(numerator / denominator).toBe(ppi)
      expect(Array.from(await read.field(283))).toEqual([numerator, denominator])
      expect(await read.field(296)).toBe(2)
      expect((await readHeader(file)).ppi).toBe(ppi)
    }
  })

  it('becomes a BigTIFF where it must, and reads the same', async () => {
    for (const depth of [8, 16] as const) {
      await writeTiff(at('big.tif'), raster, { depth, ppi: 600, profile, xmp: profile }, undefined, 0)
      const read = await throughGeotiff(at('big.tif'))
      expect(read.big).toBe(true)
      expect(read.pixels).toEqual(depth === 16 ? samples : rounded)
      expect(Array.from(await read.field(34675))).toEqual(Array.from(profile))
      expect(Buffer.from((await sharp(at('big.tif')).metadata()).icc!)).toEqual(Buffer.from(profile))
      expect((await decodePicture(at('big.tif'))).header).toMatchObject({ ppi: 600, depth })
    }
  })

  it('turns into a BigTIFF just before 32 bits cannot count its bytes, with every strip where the pixels will be', () => {
    const rowBytes = 30000 * 6
    const facts = { width: 30000, depth: 16, ppi: 600 } as const
    const below = tiffHead({ ...facts, height: 23800 })
    const above = tiffHead({ ...facts, height: 23861 })
    expect(below[2]).toBe(42)
    expect(below.length + 23800 * rowBytes).toBeLessThan(2 ** 32)
    expect(above[2]).toBe(43)
    expect(above.length + 23861 * rowBytes).toBeGreaterThan(2 ** 32)
    const view = new DataView(above.buffer)
    const directory = Number(view.getBigUint64(8, true))
    const entries = new Map<number, { count: number; at: number }>()
    for (let i = 0; i < Number(view.getBigUint64(directory, true)); i++) {
      const entry = directory + 8 + i * 20
      entries.set(view.getUint16(entry, true), {
        count: Number(view.getBigUint64(entry + 4, true)),
        at: Number(view.getBigUint64(entry + 12, true)),
      })
    }
    const list = (tag: number) =>
      Array.from({ length: entries.get(tag)!.count }, (_, i) =>
        Number(view.getBigUint64(entries.get(tag)!.at + i * 8, true)),
      )
    const offsets = list(273)
    const counts = list(279)
    offsets.forEach((offset, i) => {
      expect(offset).toBe(i === 0 ? above.length : offsets[i - 1] + counts[i - 1])
    })
    expect(offsets.at(-1)! + counts.at(-1)!).toBe(above.length + 23861 * rowBytes)
  })
})

describe('PNG', () => {
  it('holds 16 bits exactly and 8 bits rounded', async () => {
    for (const depth of [8, 16] as const) {
      const png = decode(await readFile(await written('x.png', { ...plain, format: 'png', depth })), {
        checkCrc: true,
      })
      expect(png).toMatchObject({ width, height, channels: 3, depth })
      expect(Array.from(png.data)).toEqual(depth === 16 ? samples : rounded)
    }
  })

  it('states the resolution in pixels a metre', async () => {
    const file = await written('ppi.png', { ...plain, format: 'png', depth: 8 })
    expect(decode(await readFile(file)).resolution).toEqual({ x: 11811, y: 11811, unit: 1 })
    expect((await readHeader(file)).ppi).toBe(300)
  })
})

describe('JPEG', () => {
  it('keeps colour at full resolution and stays near the picture', async () => {
    const smooth = emptyRaster(64, 64)
    for (let i = 0; i < smooth.data.length; i++) {
      const x = Math.floor(i / 3) % 64
      smooth.data[i] = [x * 900, 40000, 60000 - x * 900][i % 3]
    }
    const file = await written('smooth.jpg', { ...plain, format: 'jpg', depth: 8, quality: 98 }, smooth)
    const { chromaSubsampling, density } = await sharp(file).metadata()
    expect(chromaSubsampling).toBe('4:4:4')
    expect(density).toBe(300)
    const { raster: read } = await decodePicture(file)
    let worst = 0
    for (let i = 0; i < read.data.length; i++)
      worst = Math.max(worst, Math.abs(read.data[i] - smooth.data[i]))
    // 4 steps of 255: quantisation at quality 98 of a gradient without edges
    expect(worst).toBeLessThanOrEqual(4 * 257)
  })

  it('refuses what it cannot hold, before any file is made', async () => {
    const long: Raster = emptyRaster(65501, 1)
    const before = await readdir(at())
    const error = await failure(writePicture(at('long.jpg'), long, { ...plain, format: 'jpg', depth: 8 }))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/too large for a JPEG.*65500.*65501 x 1.*TIFF/)
    const deep = await failure(writePicture(at('deep.jpg'), raster, { ...plain, format: 'jpg', depth: 16 }))
    expect(deep).toBeInstanceOf(RequestError)
    expect(deep.message).toMatch(/8 bits a channel/)
    const wordy = {
      format: 'jpg',
      depth: 8,
      ppi: 300,
      profile: null,
      metadata: { title: 'a'.repeat(70000) },
    } as const
    expect((await failure(writePicture(at('wordy.jpg'), raster, wordy))).message).toMatch(
      /too long for a JPEG/,
    )
    expect(await readdir(at())).toEqual(before)
  })

  it('as long as it can be is written', async () => {
    const long = await written('longest.jpg', { ...plain, format: 'jpg', depth: 8 }, emptyRaster(65500, 1))
    expect(await readHeader(long)).toMatchObject({ width: 65500, height: 1 })
  })
})

describe('a profile', () => {
  it('is found byte for byte by independent readers, and no pixel changes for it', async () => {
    for (const [format, depth] of [
      ['tif', 16],
      ['tif', 8],
      ['png', 16],
      ['png', 8],
      ['jpg', 8],
    ] as const) {
      const tagged = await written(`tagged.${format}`, { format, depth, ppi: 300, profile })
      expect(Buffer.from((await sharp(tagged).metadata()).icc!)).toEqual(Buffer.from(profile))
      expect(Buffer.from((await readHeader(tagged)).profile!)).toEqual(Buffer.from(profile))
      const bare = await written(`bare.${format}`, { format, depth, ...plain })
      expect((await sharp(bare).metadata()).icc).toBeUndefined()
      const [a, b] = [await decodePicture(tagged), await decodePicture(bare)]
      expect(Array.from(a.raster.data)).toEqual(Array.from(b.raster.data))
    }
    const tiff = await throughGeotiff(await written('t.tif', { format: 'tif', depth: 16, ppi: 300, profile }))
    expect(Array.from(await tiff.field(34675))).toEqual(Array.from(profile))
    expect(tiff.pixels).toEqual(samples)
    const png = decode(
      await readFile(await written('t.png', { format: 'png', depth: 16, ppi: 300, profile })),
    )
    expect(Array.from(png.iccEmbeddedProfile!.profile)).toEqual(Array.from(profile))
    expect(Array.from(png.data)).toEqual(samples)
  })

  it('of several hundred kilobytes is split over the segments of a JPEG', async () => {
    const large = Uint8Array.from(values(200_000, 255))
    const file = await written('large.jpg', { format: 'jpg', depth: 8, ppi: 300, profile: large })
    expect(Buffer.from((await readHeader(file)).profile!)).toEqual(Buffer.from(large))
    expect(Buffer.from((await sharp(file).metadata()).icc!)).toEqual(Buffer.from(large))
  })
})

describe('metadata', () => {
  const metadata = {
    title: 'Harbour <at> "low" tide & more',
    creator: 'Zoë Łukasz',
    rights: '© 2024, all rights reserved',
    contact: 'studio@example.org',
    description: 'Line one\nline two\u0007',
  }

  it('is one XMP packet, found by libvips in all three containers', async () => {
    for (const format of ['tif', 'png', 'jpg'] as const) {
      const file = await written(`meta.${format}`, { ...plain, format, depth: 8, metadata })
      const xmp = (await sharp(file).metadata()).xmp!.toString('utf8')
      expect(xmp).toContain(
        '<dc:title><rdf:Alt><rdf:li xml:lang="x-default">Harbour &lt;at&gt; &quot;low&quot; tide &amp; more<',
      )
      expect(xmp).toContain('<dc:creator><rdf:Seq><rdf:li>Zoë Łukasz<')
      expect(xmp).toContain('>© 2024, all rights reserved</rdf:li></rdf:Alt></dc:rights>')
      expect(xmp).toContain('<Iptc4xmpCore:CiEmailWork>studio@example.org<')
      expect(xmp).toContain('>Line one\nline two</rdf:li></rdf:Alt></dc:description>')
      expect(Array.from((await decodePicture(file)).raster.data)).toEqual(
        Array.from(
          (await decodePicture(await written(`b.${format}`, { ...plain, format, depth: 8 }))).raster.data,
        ),
      )
    }
  })

  it.each([
    ['https://example.org/me', 'CiUrlWork'],
    ['+44 20 7946 0000', 'CiTelWork'],
    ['The Old Boathouse, Harbour Row', 'CiAdrExtadr'],
  ])('puts the contact %s where it belongs', async (contact, field) => {
    const file = await written('contact.tif', { ...plain, format: 'tif', depth: 8, metadata: { contact } })
    expect((await sharp(file).metadata()).xmp!.toString()).toContain(`<Iptc4xmpCore:${field}>${contact}<`)
  })

  it('that says nothing is not written', async () => {
    const empty = { title: '', creator: ' ', rights: '' }
    const file = await written('nothing.tif', { ...plain, format: 'tif', depth: 8, metadata: empty })
    expect((await sharp(file).metadata()).xmp).toBeUndefined()
  })
})

describe('bytes', () => {
  it('are the same for the same picture', async () => {
    for (const format of ['tif', 'png', 'jpg'] as const) {
      const options = { format, depth: 8, ppi: 300, profile, metadata: { title: 'again' } } as const
      expect(await readFile(await written(`1.${format}`, options))).toEqual(
        await readFile(await written(`2.${format}`, options)),
      )
    }
  })

  it('of 8 bits are rounded for every value there is', () => {
    const every = Uint16Array.from({ length: 65536 }, (_, v) => v)
    expect(Array.from(eightBits(every))).toEqual(Array.from(every, (v) => Math.round(v / 257)))
  })
})

describe('a place that cannot be written', () => {
  it('is said in words, and nothing is left there', async () => {
    await writeFile(at('file'), 'x')
    for (const format of ['tif', 'png', 'jpg'] as const) {
      const error = await failure(
        writePicture(at(`file/x.${format}`), raster, { ...plain, format, depth: 8 }),
      )
      expect(error).toBeInstanceOf(WorkError)
      expect(error.exitStatus).toBe(1)
      expect(error.message).toContain(at(`file/x.${format}`))
    }
    await mkdir(at('taken.tif'))
    const before = await readdir(at())
    await failure(writePicture(at('taken.tif'), raster, { ...plain, format: 'tif', depth: 16 }))
    expect(await readdir(at())).toEqual(before)
  })

  it('keeps what was there when the work is stopped', async () => {
    await writeFile(at('old.tif'), 'old')
    const before = await readdir(at())
    const stopped = { ...plain, format: 'tif', depth: 16, signal: AbortSignal.abort() } as const
    expect(await failure(writePicture(at('old.tif'), raster, stopped))).toBeInstanceOf(Interrupted)
    const error = await failure(
      writeTiff(at('old.tif'), raster, { depth: 16, ppi: 300 }, () => {
        throw new Interrupted()
      }),
    )
    expect(error).toBeInstanceOf(Interrupted)
    expect(await readFile(at('old.tif'), 'utf8')).toBe('old')
    expect(await readdir(at())).toEqual(before)
  })
})

describe('small pictures for the report', () => {
  it('are near the picture as JPEG, and tagged where a profile is given', async () => {
    const flat = { width: 16, height: 16, rgb: new Uint8Array(768).fill(120) }
    const read = await sharp(Buffer.from(await encodeJpeg(flat, 90)))
      .raw()
      .toBuffer()
    expect(Math.max(...read.map((v) => Math.abs(v - 120)))).toBeLessThanOrEqual(1)
    const tagged = Buffer.from(await encodeJpeg(flat, 90, profile))
    expect(jpegSegments(tagged).some(({ data }) => data.toString('latin1', 0, 11) === 'ICC_PROFILE')).toBe(
      true,
    )
  })
})
