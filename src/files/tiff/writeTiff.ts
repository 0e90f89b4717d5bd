import type { Raster } from '../../raster/Raster.js'
import { eightBits } from '../eightBits.js'
import { writeAll, writeAtomically } from '../writeAtomically.js'
import { type TiffFacts, tiffHead } from './tiffHead.js'

/** Bytes handed to the disk at once. */
const CHUNK_BYTES = 8 << 20

/**
 * Writes an uncompressed TIFF straight from the shared memory: 16 bits as they are, 8 bits rounded band by band.
 * Why not through libvips: it would hold another copy, and it cannot tag 16-bit pixels without converting them.
 * @param beforeChunk called before every few megabytes; may throw to stop
 * @param limit see `tiffHead`
 */
export async function writeTiff(
  path: string,
  raster: Raster,
  facts: Omit<TiffFacts, 'width' | 'height'>,
  beforeChunk: () => void = () => {},
  limit?: number,
): Promise<void> {
  const { width, height, data } = raster
  const head = tiffHead({ ...facts, width, height }, limit)
  await writeAtomically(path, async (file) => {
    await writeAll(file, head)
    const step = CHUNK_BYTES / 2
    const rounded = facts.depth === 8 ? new Uint8Array(Math.min(step, data.length)) : undefined
    for (let at = 0; at < data.length; at += step) {
      beforeChunk()
      const samples = data.subarray(at, Math.min(at + step, data.length))
      await writeAll(
        file,
        rounded
          ? eightBits(samples, rounded.subarray(0, samples.length))
          : new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength),
      )
    }
  })
}
