import { deflateSync } from 'node:zlib'
import { ascii } from '../jpeg/segments.js'
import { PNG_SIGNATURE, pngChunk } from './chunks.js'

const METRES_PER_INCH = 0.0254
/** What makes the picture; anything else an encoder adds (a gamma, a resolution of its own) is left out. */
const KEPT = new Set(['IHDR', 'PLTE', 'tRNS', 'IDAT', 'IEND'])

export interface PngTags {
  ppi?: number
  /** Embedded byte for byte as iCCP. */
  profile?: Uint8Array
  xmp?: Uint8Array
}

/**
 * A PNG with its tags written between header and pixels; no pixel byte is touched.
 * @param png what an encoder made
 * @returns the parts to write one after the other
 * Source: ISO/IEC 15948:2004, 11.3 (iCCP, pHYs, iTXt); ISO 16684-3 (XMP in PNG: iTXt `XML:com.adobe.xmp`).
 */
export function tagPng(png: Uint8Array, { ppi, profile, xmp }: PngTags): Uint8Array[] {
  const parts: Uint8Array[] = [PNG_SIGNATURE]
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength)
  for (let at = 8; at < png.length; ) {
    const length = view.getUint32(at)
    const type = String.fromCharCode(...png.subarray(at + 4, at + 8))
    if (KEPT.has(type)) parts.push(png.subarray(at, at + 12 + length))
    if (type === 'IHDR') {
      if (profile)
        parts.push(pngChunk('iCCP', joined(ascii('profile\0\0'), deflateSync(profile, { level: 9 }))))
      if (ppi) parts.push(pngChunk('pHYs', perMetre(ppi)))
      // keyword, zero, not compressed, method 0, no language, no translated keyword
      if (xmp) parts.push(pngChunk('iTXt', joined(ascii('XML:com.adobe.xmp\0\0\0\0\0'), xmp)))
    }
    at += 12 + length
  }
  return parts
}

function perMetre(ppi: number): Uint8Array {
  const data = new Uint8Array(9)
  const view = new DataView(data.buffer)
  view.setUint32(0, Math.round(ppi / METRES_PER_INCH))
  view.setUint32(4, Math.round(ppi / METRES_PER_INCH))
  data[8] = 1
  return data
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const out = new Uint8Array(a.length + b.length)
  out.set(a)
  out.set(b, a.length)
  return out
}
