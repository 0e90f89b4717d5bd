import { RequestError } from '../errors.js'
import type { Raster } from '../raster/Raster.js'
import { abortable, stopIf } from './abortable.js'
import { eightBits } from './eightBits.js'
import { writeProblem } from './fileProblem.js'
import { tagJpeg } from './jpeg/tagJpeg.js'
import type { Metadata } from './Metadata.js'
import { tagPng } from './png/tagPng.js'
import { sharp } from './sharp.js'
import { writeTiff } from './tiff/writeTiff.js'
import { writeAll, writeAtomically } from './writeAtomically.js'
import { xmpPacket } from './xmpPacket.js'

export interface WriteOptions {
  format: 'tif' | 'jpg' | 'png'
  /** JPEG is always 8. 8 bits are `round(v / 257)`. */
  depth: 8 | 16
  ppi: number
  /** Written into the file as it is; no pixel is converted. Null leaves the file untagged. */
  profile: Uint8Array | null
  /** JPEG only, 1..100; by default 95. */
  quality?: number
  metadata?: Metadata
  signal?: AbortSignal
}

/** The longest side libjpeg encodes (JPEG_MAX_DIMENSION); the format itself could state 65,535. */
const JPEG_LONGEST_PX = 65500
/** What an APP1 segment holds beside the name of XMP. */
const JPEG_XMP_BYTES = 65533 - 29

/**
 * Writes a picture: TIFF uncompressed and exact, BigTIFF above 4 GiB; PNG lossless; JPEG with full colour resolution.
 * Tagged with the profile, the resolution and the metadata; the same input gives the same bytes.
 * @throws RequestError for what the format cannot hold; WorkError where the disk refuses; Interrupted
 */
export async function writePicture(path: string, raster: Raster, options: WriteOptions): Promise<void> {
  const { format, depth, ppi, quality = 95, metadata, signal } = options
  const profile = options.profile ?? undefined
  const xmp = xmpPacket(metadata)
  stopIf(signal)
  if (format === 'tif') return writeTiff(path, raster, { depth, ppi, profile, xmp }, () => stopIf(signal))
  if (format === 'jpg') refuseForJpeg(path, raster, depth, xmp)
  try {
    const image = encoder(raster, depth)
    const encoding =
      format === 'png'
        ? image.png({ compressionLevel: 6 })
        : image.jpeg({ quality, chromaSubsampling: '4:4:4' })
    const encoded = await abortable(encoding.toBuffer(), signal)
    const parts =
      format === 'png' ? tagPng(encoded, { ppi, profile, xmp }) : tagJpeg(encoded, { ppi, profile, xmp })
    await writeAtomically(path, (file) => writeAll(file, ...parts))
  } catch (cause) {
    throw writeProblem(path, cause)
  }
}

/** libvips over the raster: 16 bits read from the shared memory, 8 bits from a rounded copy. */
function encoder({ width, height, data }: Raster, depth: 8 | 16) {
  const input = { raw: { width, height, channels: 3 as const }, limitInputPixels: false }
  return depth === 16 ? sharp(data, input).toColourspace('rgb16') : sharp(eightBits(data), input)
}

function refuseForJpeg(path: string, { width, height }: Raster, depth: number, xmp?: Uint8Array): void {
  if (Math.max(width, height) > JPEG_LONGEST_PX) {
    throw new RequestError({
      where: path,
      what: 'the picture is too large for a JPEG',
      expected: `at most ${JPEG_LONGEST_PX} pixels on the longer side`,
      found: `${width} x ${height}`,
      todo: 'Write it as a TIFF, or ask for fewer ppi',
    })
  }
  if (depth !== 8) {
    throw new RequestError({
      where: path,
      what: 'a JPEG holds 8 bits a channel',
      expected: 'depth 8',
      found: `depth ${depth}`,
      todo: 'Write it as a TIFF to keep 16 bits',
    })
  }
  if (xmp && xmp.length > JPEG_XMP_BYTES) {
    throw new RequestError({
      where: path,
      what: 'the title, credit and description are too long for a JPEG',
      expected: `at most ${JPEG_XMP_BYTES} bytes`,
      found: `${xmp.length} bytes`,
      todo: 'Shorten them, or write the picture as a TIFF',
    })
  }
}
