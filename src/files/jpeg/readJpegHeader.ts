import { exifDirectory, orientationIn } from '../exifDirectory.js'
import type { FileHeader } from '../FileHeader.js'
import { plausiblePpi } from '../plausiblePpi.js'
import type { ReadBytes, TiffDirectory } from '../tiff/readDirectory.js'
import { damaged, isCmyk, truncated, unfit } from '../unfit.js'
import { APP_EXIF, APP_ICC, beginsWith } from './segments.js'

const SOS = 0xda
const EOI = 0xd9
const APP0 = 0xe0
const APP1 = 0xe1
const APP2 = 0xe2
/** Start-of-frame markers are C0 to CF without DHT (C4), JPG (C8) and DAC (CC). */
const isFrame = (marker: number) => marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)

/**
 * Header of a JPEG: the marker segments before the scan.
 * Resolution: EXIF where it has one (fractions), else JFIF.
 * @throws RequestError for CMYK pictures, 12-bit samples and files cut short
 */
export async function readJpegHeader(path: string, bytes: number, read: ReadBytes): Promise<FileHeader> {
  let frame: { bits: number; width: number; height: number; channels: number } | undefined
  let exif: Awaited<ReturnType<typeof exifDirectory>> | undefined
  let jfifPpi: [number, number] | undefined
  const chunks: Uint8Array[] = []
  let chunkCount = 0
  for (let at = 2; ; ) {
    if (at + 4 > bytes) throw truncated(path, bytes)
    const head = await read(at, 4)
    if (head[0] !== 0xff) throw damaged(path, `no marker where one belongs, at byte ${at}`)
    const marker = head[1]
    if (marker === 0xff) {
      at += 1 // fill byte
      continue
    }
    if (marker === SOS || marker === EOI) break
    const length = head[2] * 256 + head[3]
    if (at + 2 + length > bytes) throw truncated(path, bytes, at + 2 + length)
    const wanted = marker <= APP2 && (marker >= APP0 || isFrame(marker))
    const data = wanted ? await read(at + 4, length - 2) : new Uint8Array(0)
    const view = new DataView(data.buffer, data.byteOffset, data.byteLength)
    if (isFrame(marker) && data.length >= 6) {
      frame = { bits: data[0], height: view.getUint16(1), width: view.getUint16(3), channels: data[5] }
    } else if (marker === APP0 && beginsWith(data, 'JFIF\0') && data.length >= 12) {
      const unit = [0, 1, 2.54][data[7]] ?? 0
      if (unit) jfifPpi = [view.getUint16(8) * unit, view.getUint16(10) * unit]
    } else if (marker === APP1 && beginsWith(data, APP_EXIF)) {
      exif ??= await exifDirectory(data.subarray(APP_EXIF.length))
    } else if (marker === APP2 && beginsWith(data, APP_ICC) && data.length > 14) {
      chunks[data[12] - 1] = data.subarray(14)
      chunkCount = data[13]
    }
    at += 2 + length
  }
  if (!frame) throw damaged(path, 'it has no frame header')
  refuseUnfit(path, frame)
  const resolution = exifPpi(exif?.directory) ?? jfifPpi
  const { ppi, note } = plausiblePpi(resolution?.[0], resolution?.[1])
  const orientation = orientationIn(exif?.directory)
  const turned = orientation >= 5
  return {
    path,
    format: 'jpg',
    width: turned ? frame.height : frame.width,
    height: turned ? frame.width : frame.height,
    channels: frame.channels,
    depth: 8,
    ppi,
    orientation,
    profile: joined(path, chunks, chunkCount),
    conditions: exif?.conditions,
    bytes,
    alpha: false,
    notes: note ? [note] : [],
  }
}

function exifPpi(exif: TiffDirectory | undefined): [number, number] | undefined {
  const unit = [0, 0, 1, 2.54][exif?.fields.get(296)?.values[0] ?? 2] ?? 0
  const x = exif?.fields.get(282)?.values[0]
  const y = exif?.fields.get(283)?.values[0] ?? x
  // 72 is EXIF's word for "unknown": then JFIF may know better.
  return unit && x && y && x !== 72 ? [x * unit, y * unit] : undefined
}

/** The profile out of its chunks, numbered from 1 (ICC.1, embedding in JFIF). */
function joined(path: string, chunks: Uint8Array[], count: number): Uint8Array | undefined {
  if (chunks.length === 0) return undefined
  for (let i = 0; i < Math.max(count, chunks.length); i++) {
    if (!chunks[i]) throw damaged(path, `part ${i + 1} of ${count} of its embedded profile is missing`)
  }
  return new Uint8Array(Buffer.concat(chunks))
}

function refuseUnfit(path: string, { bits, channels }: { bits: number; channels: number }): void {
  if (channels === 4) {
    throw isCmyk(path, channels)
  }
  if (bits !== 8) {
    throw unfit(path, {
      what: `the JPEG has ${bits} bits a channel, a form that is hardly ever readable`,
      expected: '8 bits a channel',
      found: `${bits} bits`,
      todo: 'Export it as a 16-bit TIFF',
    })
  }
}
