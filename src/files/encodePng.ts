import type { Picture8 } from '../findings.js'
import { tagPng } from './png/tagPng.js'
import { sharp } from './sharp.js'

/** A small sRGB picture as PNG, lossless, marked as sRGB. */
export async function encodePng({ width, height, rgb }: Picture8): Promise<Uint8Array> {
  const png = await sharp(rgb, { raw: { width, height, channels: 3 } })
    .png({ compressionLevel: 9, adaptiveFiltering: true })
    .toBuffer()
  return new Uint8Array(Buffer.concat(tagPng(png, { srgb: true })))
}
