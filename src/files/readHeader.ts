import { type FileHandle, open, stat } from 'node:fs/promises'
import type { FileHeader } from './FileHeader.js'
import { readProblem } from './fileProblem.js'
import { readJpegHeader } from './jpeg/readJpegHeader.js'
import { PNG_SIGNATURE } from './png/chunks.js'
import { readPngHeader } from './png/readPngHeader.js'
import { beginsAsRaw } from './raw/isRaw.js'
import { readRawHeader } from './raw/readRawHeader.js'
import type { ReadBytes } from './tiff/readDirectory.js'
import { readTiffHeader } from './tiff/readTiffHeader.js'
import type { TiffPicture } from './tiff/TiffPicture.js'
import { truncated, unfit } from './unfit.js'

/**
 * What a picture file says of itself. Reads the header alone, never the pixels.
 * @param path a TIFF, PNG, JPEG or undeveloped camera file
 * @throws RequestError for a missing or empty file, a folder, something that is not a picture, one cut short, CMYK,
 * 1-bit. Whether an alpha channel is opaque is known only to `decodePicture`.
 */
export async function readHeader(path: string): Promise<FileHeader> {
  return (await readLayout(path)).header
}

/** The header and, for a TIFF, how its pixels lie in the file. */
export async function readLayout(path: string): Promise<{ header: FileHeader; tiff?: TiffPicture }> {
  let file: FileHandle | undefined
  try {
    const { size, isFolder } = await stat(path).then((s) => ({ size: s.size, isFolder: s.isDirectory() }))
    if (isFolder) {
      throw unfit(path, {
        what: 'this is a folder, not a picture',
        expected: 'a TIFF, PNG or JPEG file',
        found: 'a folder',
        todo: 'Name the files in it, for example with a pattern such as FOLDER/*.tif',
      })
    }
    if (size === 0) {
      throw unfit(path, {
        what: 'the file is empty',
        expected: 'a TIFF, PNG or JPEG picture',
        found: '0 bytes',
        todo: 'Copy the file again from where it came, or scan it again',
      })
    }
    file = await open(path)
    const read = readerOf(file, path, size)
    const head = await read(0, Math.min(size, 16))
    if (size >= 8 && ((head[0] === 0x49 && head[1] === 0x49) || (head[0] === 0x4d && head[1] === 0x4d))) {
      if ((head[2] | head[3]) === 42 || (head[2] | head[3]) === 43) {
        const { header, picture } = await readTiffHeader(path, size, read)
        return { header, tiff: picture }
      }
    }
    if (PNG_SIGNATURE.every((byte, i) => head[i] === byte)) {
      return { header: await readPngHeader(path, size, read) }
    }
    if (beginsAsRaw(head)) return { header: await readRawHeader(path, size) }
    if (head[0] === 0xff && head[1] === 0xd8) return { header: await readJpegHeader(path, size, read) }
    throw unfit(path, {
      what: 'this is not a picture that can be read',
      expected: 'a TIFF, PNG, JPEG or camera raw file',
      found: kindOf(head),
      todo: 'Export the capture as a 16-bit TIFF with its profile embedded',
    })
  } catch (cause) {
    throw readProblem(path, cause)
  } finally {
    await file?.close()
  }
}

/** Reads at a position; a file that ends before that is cut short. */
function readerOf(file: FileHandle, path: string, size: number): ReadBytes {
  return async (position, length) => {
    if (position + length > size) throw truncated(path, size, position + length)
    const bytes = new Uint8Array(length)
    const { bytesRead } = await file.read(bytes, 0, length, position)
    if (bytesRead < length) throw truncated(path, size, position + length)
    return bytes
  }
}

/** What the first bytes look like, for the message. */
function kindOf(head: Uint8Array): string {
  const text = String.fromCharCode(...head)
  if (text.startsWith('%PDF')) return 'a PDF'
  if (text.startsWith('GIF8')) return 'a GIF'
  if (text.startsWith('RIFF') && text.slice(8, 12) === 'WEBP') return 'a WebP'
  if (/^....ftyp(hei|mif|avi)/s.test(text)) return 'a HEIF or AVIF'
  if (text.startsWith('PK')) return 'a ZIP archive'
  return head.every((byte) => byte === 9 || byte === 10 || byte === 13 || (byte >= 32 && byte < 127))
    ? 'a text file'
    : 'bytes of another kind'
}
