import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { promisify } from 'node:util'
import exifr from 'exifr'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { describe, expect, it } from 'vitest'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePdf } from '../../src/files/writePdf.js'
import { writePicture } from '../../src/files/writePicture.js'
import { emptyRaster } from '../../src/raster/Raster.js'
import { scratchFolder } from './scratch.js'

/** One reader is from npm (exifr), the other from Debian (libimage-exiftool-perl), where it is installed. */
const run = promisify(execFile)
const exiftool = await run('exiftool', ['-ver']).then(
  () => true,
  () => false,
)
if (!exiftool) console.warn('exiftool is not installed: metadata are read by exifr and pdfjs-dist alone')

const at = scratchFolder()
const metadata = {
  title: 'Harbour at low tide, <seen> & "drawn"',
  creator: 'Zoë Łukasz',
  rights: '© 2024, all rights reserved',
  contact: 'studio@example.org',
  description: 'Watercolour on rough paper',
}
const picture = emptyRaster(16, 12)
picture.data.fill(30_000)

const NAMED = { lt: '<', gt: '>', quot: '"', apos: "'", amp: '&' }

async function pictureFile(format: 'tif' | 'jpg' | 'png'): Promise<string> {
  const path = at(`about.${format}`)
  const profile = profileBytes('Display P3')
  await writePicture(path, picture, { format, depth: 8, ppi: 300, profile, metadata })
  return path
}

async function pdfFile(): Promise<string> {
  const box = { x: 10, y: 10, width: 20, height: 15 }
  const document = {
    ...{ title: metadata.title, creator: metadata.creator },
    pages: [
      {
        ...{ widthMm: 100, heightMm: 100 },
        items: [{ kind: 'picture' as const, box, raster: picture, space: 'sRGB' as const }],
      },
    ],
  }
  await writePdf(at('about.pdf'), document, { profiles: profileBytes, metadata })
  return at('about.pdf')
}

describe('title, creator, rights, contact and description', () => {
  it('are found in pictures by exifr, with profile and resolution', async () => {
    for (const format of ['tif', 'jpg', 'png'] as const) {
      const found = await exifr.parse(await readFile(await pictureFile(format)), {
        ...{ xmp: true, tiff: true, ihdr: true, jfif: true, icc: true, mergeOutput: false },
      })
      // It leaves XML's named characters as they are written.
      const text = ({ value }: { value: string }) =>
        value.replace(/&(lt|gt|quot|apos|amp);/g, (_, name) => NAMED[name as keyof typeof NAMED])
      const { dc, Iptc4xmpCore, icc } = found
      expect(text(dc.title)).toBe(metadata.title)
      expect(dc.creator).toBe(metadata.creator)
      expect(text(dc.rights)).toBe(metadata.rights)
      expect(text(dc.description)).toBe(metadata.description)
      expect(Iptc4xmpCore.CreatorContactInfo.CiEmailWork).toBe(metadata.contact)
      expect(icc.ProfileDescription).toMatch(/P3/)
      if (format === 'tif') expect(found.ifd0.XResolution).toBe(300)
    }
  })

  it('are found in a PDF by pdfjs-dist', async () => {
    const task = getDocument({ data: new Uint8Array(await readFile(await pdfFile())), verbosity: 0 })
    const { info, metadata: packet } = await (await task.promise).getMetadata()
    expect(info).toMatchObject({ Title: metadata.title, Author: metadata.creator })
    const found = (name: string) => [packet!.get(name as never)].flat().join()
    expect(found('dc:title')).toBe(metadata.title)
    expect(found('dc:creator')).toBe(metadata.creator)
    expect(found('dc:rights')).toBe(metadata.rights)
    expect(found('dc:description')).toBe(metadata.description)
    await task.destroy()
  })

  it.runIf(exiftool)('are found in every file by exiftool, which has nothing to warn of', async () => {
    for (const path of [
      await pictureFile('tif'),
      await pictureFile('jpg'),
      await pictureFile('png'),
      await pdfFile(),
    ]) {
      const { stdout } = await run('exiftool', ['-json', '-G1', '-struct', '-validate', '-warning', path])
      const [said] = JSON.parse(stdout)
      expect(said['ExifTool:Warning'], path).toBeUndefined()
      const { stdout: fields } = await run('exiftool', ['-json', '-XMP:all', path])
      expect(JSON.parse(fields)[0]).toMatchObject({
        ...{ Title: metadata.title, Creator: metadata.creator, Rights: metadata.rights },
        ...{ Description: metadata.description, CreatorWorkEmail: metadata.contact },
      })
    }
  })
})
