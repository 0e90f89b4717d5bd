import { APP_ICC, APP_XMP, ascii, jpegSegment } from './segments.js'

/** Profile bytes in one APP2 segment: 65,533 less the 14 of its own head (ICC.1, embedding in JFIF). */
const PROFILE_PART = 65519
const APP0 = 0xe0
const APP1 = 0xe1
const APP2 = 0xe2
const SOS = 0xda

export interface JpegTags {
  /** Whole pixels per inch: JFIF holds no fractions. */
  ppi?: number
  profile?: Uint8Array
  xmp?: Uint8Array
}

/**
 * A JPEG with its tags written before its tables; what is compressed is not touched.
 * @param jpeg what an encoder made; its own APP0, APP1 and APP2 segments are left out
 * @returns the parts to write one after the other
 * Source: ISO/IEC 10918-5 (JFIF); ICC.1, annex on embedding (APP2 `ICC_PROFILE`); ISO 16684-3 (XMP in APP1).
 */
export function tagJpeg(jpeg: Uint8Array, { ppi, profile, xmp }: JpegTags): Uint8Array[] {
  const parts: Uint8Array[] = [jpeg.subarray(0, 2)]
  const density = Math.round(ppi ?? 0)
  const unit = density > 0 ? 1 : 0
  const [high, low] = unit ? [density >> 8, density & 0xff] : [0, 1]
  // version 1.2, unit, density across and down, no thumbnail
  parts.push(jpegSegment(APP0, ascii('JFIF\0'), Uint8Array.of(1, 2, unit, high, low, high, low, 0, 0)))
  if (xmp) parts.push(jpegSegment(APP1, ascii(APP_XMP), xmp))
  if (profile) {
    const count = Math.ceil(profile.length / PROFILE_PART)
    if (count > 255) throw new RangeError('a profile of more than 255 parts does not fit into a JPEG')
    for (let i = 0; i < count; i++) {
      const part = profile.subarray(i * PROFILE_PART, (i + 1) * PROFILE_PART)
      parts.push(jpegSegment(APP2, ascii(APP_ICC), Uint8Array.of(i + 1, count), part))
    }
  }
  let at = 2
  while (jpeg[at + 1] !== SOS) {
    const next = at + 2 + jpeg[at + 2] * 256 + jpeg[at + 3]
    const marker = jpeg[at + 1]
    if (marker !== APP0 && marker !== APP1 && marker !== APP2) parts.push(jpeg.subarray(at, next))
    at = next
  }
  parts.push(jpeg.subarray(at))
  return parts
}
