import { stat } from 'node:fs/promises'
import sharp from 'sharp'

/**
 * The floor every time is compared with: only reading a 16-bit file and writing it back uncompressed with sharp.
 * @returns seconds, the best of `rounds`, with the page cache as warm as the run it is compared with
 */
export async function ioFloor(path: string, target: string, rounds = 2): Promise<number> {
  sharp.cache(false)
  let best = Number.POSITIVE_INFINITY
  for (let i = 0; i < rounds; i++) {
    const started = performance.now()
    const { data, info } = await sharp(path, { limitInputPixels: false, ignoreIcc: true })
      .toColourspace('rgb16')
      .raw({ depth: 'ushort' })
      .toBuffer({ resolveWithObject: true })
    const pixels = new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
    await sharp(pixels, {
      raw: { width: info.width, height: info.height, channels: 3 },
      limitInputPixels: false,
    })
      .toColourspace('rgb16')
      .tiff({ compression: 'none' })
      .toFile(target)
    best = Math.min(best, (performance.now() - started) / 1000)
  }
  if ((await stat(target)).size < (await stat(path)).size * 0.9)
    throw new Error('the floor wrote fewer bits than it read')
  return best
}
