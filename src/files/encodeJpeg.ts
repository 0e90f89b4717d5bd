import type { Picture8 } from '../findings.js'
import { tagJpeg } from './jpeg/tagJpeg.js'
import { sharp } from './sharp.js'

/**
 * A small picture as JPEG, colour at full resolution (4:4:4).
 * @param quality 1..100
 * @param profile embedded where given; without one browsers take sRGB
 */
export async function encodeJpeg(
  { width, height, rgb }: Picture8,
  quality = 90,
  profile?: Uint8Array,
): Promise<Uint8Array> {
  const jpeg = await sharp(rgb, { raw: { width, height, channels: 3 } })
    .jpeg({ quality, chromaSubsampling: '4:4:4' })
    .toBuffer()
  return new Uint8Array(Buffer.concat(tagJpeg(jpeg, { profile })))
}
