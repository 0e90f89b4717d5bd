import type { Raster } from '../../raster/Raster.js'
import { abortable } from '../abortable.js'
import { eightBits } from '../eightBits.js'
import { sharp } from '../sharp.js'

/**
 * A raster as JPEG for a PDF image with `/Filter /DCTDecode`, colour at full resolution (4:4:4).
 * @param quality 1..100
 * @throws Interrupted by the signal
 * Source: ISO 32000-2:2020, 7.4.8 (DCTDecode).
 */
export async function jpegPicture(
  { width, height, data }: Raster,
  quality: number,
  signal?: AbortSignal,
): Promise<Uint8Array> {
  const image = sharp(eightBits(data), { raw: { width, height, channels: 3 }, limitInputPixels: false })
  return new Uint8Array(
    await abortable(image.jpeg({ quality, chromaSubsampling: '4:4:4' }).toBuffer(), signal),
  )
}
