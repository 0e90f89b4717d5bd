import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { readHeader } from '../../src/files/readHeader.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { handBuiltTiff } from './handBuiltTiff.js'

const grey = () => sharp({ create: { width: 8, height: 8, channels: 3, background: '#808080' } })

/** Written by libexif through libvips: an independent hand. */
const EXIF = {
  IFD0: { Make: 'Stand', Model: 'Stand Forty' },
  IFD2: {
    ExposureTime: '1/125',
    FNumber: '56/10',
    ISOSpeedRatings: '200',
    FocalLength: '60/1',
    LightSource: '23',
  },
}

describe('how a capture was taken', () => {
  it('is read from a JPEG and from a PNG', async () => {
    const folder = await temporaryFolder()
    for (const format of ['jpeg', 'png'] as const) {
      const path = join(folder, `a.${format}`)
      await grey().withExif(EXIF).toFormat(format).toFile(path)
      expect((await readHeader(path)).conditions).toEqual({
        device: 'Stand Forty',
        timeS: 1 / 125,
        fNumber: 5.6,
        iso: 200,
        focalMm: 60,
        light: 'D50',
      })
    }
  })

  it('is read from a TIFF, whose EXIF directory lies elsewhere in the file', async () => {
    const folder = await temporaryFolder()
    const tiff = (pointer: number) =>
      handBuiltTiff({ width: 2, height: 1, samples: [1, 2, 3, 4, 5, 6], fields: [[34665, 4, [pointer]]] })
    const at = tiff(0).length
    // Two fields after Exif 2.3: ISO 400 in place, exposure time 1/60 behind the directory.
    const exif = new DataView(new ArrayBuffer(2 + 24 + 4 + 8))
    exif.setUint16(0, 2, true)
    const field = (offset: number, tag: number, type: number, value: number) => {
      exif.setUint16(offset, tag, true)
      exif.setUint16(offset + 2, type, true)
      exif.setUint32(offset + 4, 1, true)
      exif.setUint32(offset + 8, value, true)
    }
    field(2, 33434, 5, at + 30)
    field(14, 34855, 3, 400)
    exif.setUint32(30, 1, true)
    exif.setUint32(34, 60, true)
    const path = join(folder, 'a.tif')
    await writeFile(path, Buffer.concat([tiff(at), new Uint8Array(exif.buffer)]))
    expect((await readHeader(path)).conditions).toEqual({ timeS: 1 / 60, iso: 400 })
  })

  it('is left out where the file says nothing, or nonsense, and refuses no picture', async () => {
    const folder = await temporaryFolder()
    const bare = join(folder, 'bare.tif')
    await grey().tiff().toFile(bare)
    expect((await readHeader(bare)).conditions).toBeUndefined()
    const odd = join(folder, 'odd.tif')
    await writeFile(
      odd,
      handBuiltTiff({ width: 2, height: 1, samples: [1, 2, 3, 4, 5, 6], fields: [[34665, 4, [9_999_999]]] }),
    )
    expect((await readHeader(odd)).conditions).toBeUndefined()
    const zero = join(folder, 'zero.jpg')
    await grey()
      .withExif({ IFD2: { ExposureTime: '0/1', FNumber: '0/1', LightSource: '0' } })
      .jpeg()
      .toFile(zero)
    expect((await readHeader(zero)).conditions).toBeUndefined()
  })
})
