import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { writePicture } from '../../src/files/writePicture.js'
import { emptyRaster } from '../../src/raster/Raster.js'

/**
 * How a profile is embedded, with the source of each fact beside its check. Little CMS's `iccjpeg.c`, read for the
 * chunk sizes, is under the MIT licence.
 */
const profile = Uint8Array.from({ length: 140_000 }, (_, i) => (i * 7919 + (i >> 8)) & 255)
const raster = emptyRaster(3, 2)
let folder: string
const fileOf = async (format: 'tif' | 'png' | 'jpg') => {
  const path = join(folder, `x.${format}`)
  await writePicture(path, raster, { format, depth: 8, ppi: 300, profile })
  return readFile(path)
}
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'finetooth-embedding-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

describe('embedded profiles', () => {
  it('TIFF: tag 34675 (fileformats.archiveteam.org, ICC profile); its type UNDEFINED is from memory, not checked', async () => {
    const file = await fileOf('tif')
    const directory = file.readUInt32LE(4)
    const entries = Array.from({ length: file.readUInt16LE(directory) }, (_, i) => directory + 2 + i * 12)
    const tags = entries.map((entry) => file.readUInt16LE(entry))
    // TIFF 6.0, section 2: the entries are sorted in ascending order by tag
    expect(tags).toEqual([...tags].sort((a, b) => a - b))
    const entry = entries[tags.indexOf(34675)]
    expect(file.readUInt32LE(entry + 4)).toBe(profile.length)
    const start = file.readUInt32LE(entry + 8)
    expect(file.subarray(start, start + profile.length)).toEqual(Buffer.from(profile))
  })

  it('PNG: iCCP, name of 1 to 79 bytes, null, method 0, zlib stream; before PLTE and IDAT; one profile at most (PNG iCCP proposal, 1998-07-29)', async () => {
    const file = await fileOf('png')
    const chunks: { type: string; data: Buffer }[] = []
    for (let p = 8; p < file.length; p += 12 + file.readUInt32BE(p)) {
      const length = file.readUInt32BE(p)
      chunks.push({ type: file.toString('latin1', p + 4, p + 8), data: file.subarray(p + 8, p + 8 + length) })
    }
    const types = chunks.map(({ type }) => type)
    expect(types[0]).toBe('IHDR')
    expect(types.filter((type) => type === 'iCCP' || type === 'sRGB')).toEqual(['iCCP'])
    expect(types.indexOf('iCCP')).toBeLessThan(types.indexOf('IDAT'))
    const { data } = chunks[types.indexOf('iCCP')]
    const end = data.indexOf(0)
    expect(end).toBeGreaterThanOrEqual(1)
    expect(end).toBeLessThanOrEqual(79)
    expect(data[end + 1]).toBe(0)
    expect(inflateSync(data.subarray(end + 2))).toEqual(Buffer.from(profile))
  })

  it('JPEG: APP2, ICC_PROFILE and null, chunk number from 1, count; at most 65519 bytes a chunk (ICC, Embedding ICC Profiles in JFIF Files, 1998; Little CMS iccjpeg.c)', async () => {
    const file = await fileOf('jpg')
    const chunks: Buffer[] = []
    for (let p = 2; file[p + 1] !== 0xda; p += 2 + file.readUInt16BE(p + 2)) {
      if (file[p + 1] === 0xe2) chunks.push(file.subarray(p + 4, p + 2 + file.readUInt16BE(p + 2)))
    }
    expect(chunks.length).toBe(Math.ceil(profile.length / 65519))
    chunks.forEach((chunk, i) => {
      expect(chunk.toString('latin1', 0, 12)).toBe('ICC_PROFILE\0')
      expect([...chunk.subarray(12, 14)]).toEqual([i + 1, chunks.length])
      expect(chunk.length - 14).toBeLessThanOrEqual(65519)
    })
    expect(Buffer.concat(chunks.map((chunk) => chunk.subarray(14)))).toEqual(Buffer.from(profile))
  })
})
