/** A JPEG marker segment: its marker byte, where its data begin (after the length), and how long they are. */
export interface JpegSegment {
  marker: number
  position: number
  length: number
}

/** First bytes of the APPn segments we read and write, each with its closing zero. */
export const APP_EXIF = 'Exif\0\0'
export const APP_ICC = 'ICC_PROFILE\0'
export const APP_XMP = 'http://ns.adobe.com/xap/1.0/\0'

/** A marker segment with its length (ISO/IEC 10918-1, B.1.1.4). `data` at most 65,533 bytes. */
export function jpegSegment(marker: number, ...data: Uint8Array[]): Uint8Array {
  const length = data.reduce((sum, part) => sum + part.length, 2)
  if (length > 0xffff) throw new RangeError(`a JPEG segment holds at most 65533 bytes, not ${length - 2}`)
  const segment = new Uint8Array(length + 2)
  segment.set([0xff, marker, length >> 8, length & 0xff])
  let at = 4
  for (const part of data) {
    segment.set(part, at)
    at += part.length
  }
  return segment
}

/** ASCII bytes of a text. */
export function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0))
}

/** True where `data` begins with `text`. */
export function beginsWith(data: Uint8Array, text: string): boolean {
  return data.length >= text.length && ascii(text).every((byte, i) => data[i] === byte)
}
