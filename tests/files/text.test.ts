import { createHash } from 'node:crypto'
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { basename } from 'node:path'
import { describe, expect, it, vi } from 'vitest'
import { RequestError, WorkError } from '../../src/errors.js'
import { exists } from '../../src/files/exists.js'
import { expandGlob } from '../../src/files/expandGlob.js'
import { freeBytes } from '../../src/files/freeBytes.js'
import { isFolder } from '../../src/files/isFolder.js'
import { readBytes } from '../../src/files/readBytes.js'
import { readText } from '../../src/files/readText.js'
import { sha256File } from '../../src/files/sha256File.js'
import { writePicture } from '../../src/files/writePicture.js'
import { writeText } from '../../src/files/writeText.js'
import { emptyRaster } from '../../src/raster/Raster.js'
import { failure, scratchFolder } from './scratch.js'

/** After how many writes the disk is full; Infinity for never. The only thing replaced is a file handle's `write`. */
const disk = vi.hoisted(() => ({ writes: Number.POSITIVE_INFINITY }))
vi.mock('node:fs/promises', async (original) => {
  const real = await original<typeof import('node:fs/promises')>()
  const open: typeof real.open = async (...args) => {
    const file = await real.open(...args)
    const write = file.write.bind(file) as (...values: unknown[]) => unknown
    file.write = (async (...values: unknown[]) => {
      if (--disk.writes < 0) {
        throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' })
      }
      return write(...values)
    }) as typeof file.write
    return file
  }
  return { ...real, open }
})

const at = scratchFolder()

describe('text', () => {
  it('comes back as written, folders made on the way, nothing else beside it', async () => {
    await writeText(at('a/b/ticket.md'), 'Łódź – ½ sheet\n')
    expect(await readText(at('a/b/ticket.md'))).toBe('Łódź – ½ sheet\n')
    expect(await readdir(at('a/b'))).toEqual(['ticket.md'])
  })

  it('loses its byte order mark', async () => {
    await writeFile(at('bom.yaml'), '\uFEFFpipeline: 1')
    expect(await readText(at('bom.yaml'))).toBe('pipeline: 1')
  })

  it('that is none is refused in words', async () => {
    await writeFile(at('latin.txt'), Buffer.from([0x4c, 0xe9]))
    await writeFile(at('binary.txt'), Buffer.from([0x4c, 0, 0x4c]))
    for (const name of ['latin.txt', 'binary.txt']) {
      const error = await failure(readText(at(name)))
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toMatch(/not a text file.*UTF-8/)
    }
    expect((await failure(readText(at('none.txt')))).message).toMatch(/no such file/)
    expect((await failure(readText(at('a')))).message).toMatch(/folder/)
    expect((await failure(readBytes(at('none.icc')))).exitStatus).toBe(2)
  })
})

describe('a full disk', () => {
  it('is said in words; what was there stays and nothing half written is left', async () => {
    await writeFile(at('kept.tif'), 'old')
    const before = await readdir(at())
    const raster = emptyRaster(2000, 1500) // 18 MB: three writes after the head
    const options = { depth: 16, ppi: 300, profile: null } as const
    for (const [format, allowed] of [
      ['tif', 0],
      ['tif', 2],
      ['png', 1],
    ] as const) {
      disk.writes = allowed
      const error = await failure(writePicture(at('kept.tif'), raster, { ...options, format }))
      disk.writes = Number.POSITIVE_INFINITY
      expect(error).toBeInstanceOf(WorkError)
      expect(error.exitStatus).toBe(1)
      expect(error.message).toMatch(/kept\.tif: the disk is full.*Make room/)
    }
    expect(await readFile(at('kept.tif'), 'utf8')).toBe('old')
    expect(await readdir(at())).toEqual(before)
  })
})

describe('patterns', () => {
  it('give absolute paths in the order people number them', async () => {
    await mkdir(at('captures/deep'), { recursive: true })
    for (const name of ['tile-10.tif', 'tile-2.tif', 'tile-1.tif', 'board.tif', 'deep/tile-3.tif']) {
      await writeFile(at(`captures/${name}`), '')
    }
    const found = await expandGlob(at(), 'captures/tile-*.tif')
    expect(found).toEqual(['tile-1.tif', 'tile-2.tif', 'tile-10.tif'].map((name) => at(`captures/${name}`)))
    expect((await expandGlob(at(), 'captures/**/tile-*.tif')).map((path) => basename(path))).toContain(
      'tile-3.tif',
    )
    expect(await expandGlob(at(), 'captures/nothing-*.tif')).toEqual([])
    await writeFile(at('captures/scan [1].tif'), '')
    expect(await expandGlob(at(), 'captures/scan [1].tif')).toEqual([at('captures/scan [1].tif')])
    expect((await expandGlob(at('captures/deep'), '../tile-?.tif')).length).toBe(2)
    expect(await expandGlob(at(), 'captures/deep')).toEqual([]) // folders are no captures
  })
})

describe('small questions', () => {
  it('exists, isFolder, freeBytes', async () => {
    await mkdir(at('folder'))
    await writeFile(at('file'), 'x')
    expect([await exists(at('folder')), await exists(at('file')), await exists(at('nothing'))]).toEqual([
      true,
      true,
      false,
    ])
    expect([await isFolder(at('folder')), await isFolder(at('file')), await isFolder(at('nothing'))]).toEqual(
      [true, false, false],
    )
    expect(await freeBytes(at('not/yet/there'))).toBeGreaterThan(0)
  })

  it('the SHA-256 of a file is that of FIPS 180-4 for "abc", and the same in chunks', async () => {
    await writeFile(at('abc'), 'abc')
    // NIST, FIPS 180-4 example values, SHA-256 of the one-block message "abc"
    expect(await sha256File(at('abc'))).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    )
    const large = Buffer.alloc(3_000_001, 7)
    await writeFile(at('large'), large)
    expect(await sha256File(at('large'))).toBe(createHash('sha256').update(large).digest('hex'))
    expect((await failure(sha256File(at('none')))).exitStatus).toBe(2)
    expect((await failure(sha256File(at('large'), { signal: AbortSignal.abort() }))).exitStatus).toBe(130)
  })
})
