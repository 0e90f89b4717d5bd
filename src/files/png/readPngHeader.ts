import { inflateSync } from 'node:zlib'
import { exifDirectory, orientationIn } from '../exifDirectory.js'
import type { FileHeader } from '../FileHeader.js'
import { plausiblePpi } from '../plausiblePpi.js'
import type { ReadBytes } from '../tiff/readDirectory.js'
import { damaged, isLineArt, truncated } from '../unfit.js'

const METRES_PER_INCH = 0.0254
const CHANNELS: Record<number, number> = { 0: 1, 2: 3, 3: 3, 4: 2, 6: 4 }

/**
 * Header of a PNG: the chunks before the pixels.
 * @throws RequestError for 1-bit pictures and files cut short
 */
export async function readPngHeader(path: string, bytes: number, read: ReadBytes): Promise<FileHeader> {
  let ihdr: DataView | undefined
  let ppi: number | undefined
  let profile: Uint8Array | undefined
  let exif: Awaited<ReturnType<typeof exifDirectory>> | undefined
  let transparent = false
  const notes: string[] = []
  for (let at = 8; ; ) {
    if (at + 8 > bytes) throw truncated(path, bytes)
    const head = await read(at, 8)
    const length = new DataView(head.buffer, head.byteOffset).getUint32(0)
    const type = String.fromCharCode(...head.subarray(4))
    if (type === 'IDAT' || type === 'IEND') break
    if (!/^[A-Za-z]{4}$/.test(type)) throw damaged(path, `a chunk has no name at byte ${at}`)
    if (at + 12 + length > bytes) throw truncated(path, bytes, at + 12 + length)
    const wanted = ['IHDR', 'pHYs', 'iCCP', 'eXIf', 'tRNS'].includes(type)
    const data = wanted ? await read(at + 8, length) : new Uint8Array(0)
    const view = new DataView(data.buffer, data.byteOffset, data.byteLength)
    if (type === 'IHDR' && length === 13) ihdr = view
    else if (type === 'pHYs' && length === 9 && data[8] === 1) {
      const found = plausiblePpi(view.getUint32(0) * METRES_PER_INCH, view.getUint32(4) * METRES_PER_INCH)
      ppi = found.ppi
      if (found.note) notes.push(found.note)
    } else if (type === 'iCCP') profile = inflated(path, data)
    else if (type === 'eXIf') exif = await exifDirectory(data)
    else if (type === 'tRNS') transparent = true
    at += 12 + length
  }
  if (!ihdr) throw damaged(path, 'its first chunk is not the picture header')
  const bits = ihdr.getUint8(8)
  const colourType = ihdr.getUint8(9)
  if (bits === 1) {
    throw isLineArt(path)
  }
  const orientation = orientationIn(exif?.directory)
  const turned = orientation >= 5
  return {
    path,
    format: 'png',
    width: ihdr.getUint32(turned ? 4 : 0),
    height: ihdr.getUint32(turned ? 0 : 4),
    channels: CHANNELS[colourType] ?? 3,
    depth: bits === 16 ? 16 : 8,
    ppi,
    orientation,
    profile,
    conditions: exif?.conditions,
    bytes,
    alpha: transparent || colourType === 4 || colourType === 6,
    notes,
  }
}

/** iCCP: a name of 1 to 79 bytes, zero, compression method 0, a zlib stream (ISO/IEC 15948:2004, 11.3.3.3). */
function inflated(path: string, data: Uint8Array): Uint8Array {
  const end = data.indexOf(0)
  try {
    return new Uint8Array(inflateSync(data.subarray(end + 2)))
  } catch (cause) {
    throw damaged(path, 'its embedded profile cannot be unpacked', cause)
  }
}
