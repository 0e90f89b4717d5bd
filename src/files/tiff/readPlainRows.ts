import { open } from 'node:fs/promises'
import { endianness } from 'node:os'
import type { StoredRows } from '../placeRows.js'
import { truncated } from '../unfit.js'
import type { TiffPicture } from './TiffPicture.js'

/** Bytes read at once: enough that the disk, not the calls, sets the pace. */
const CHUNK_BYTES = 8 << 20

/** True where the pixels lie in the file as they are: uncompressed rows, channels interleaved, 8 or 16 bits. */
export function isPlain(picture: TiffPicture): boolean {
  const { compression, tiled, separate, bits, samples, photometric, rowsPerStrip, height } = picture
  const rowBytes = picture.width * samples * (bits / 8)
  return (
    compression === 1 &&
    !tiled &&
    !separate &&
    (bits === 8 || bits === 16) &&
    ((photometric === 2 && samples >= 3) || (photometric === 1 && samples <= 2)) &&
    picture.offsets.length >= Math.ceil(height / rowsPerStrip) &&
    picture.offsets.every(
      (_, i) => (picture.byteCounts[i] ?? 0) >= Math.min(rowsPerStrip, height - i * rowsPerStrip) * rowBytes,
    )
  )
}

/**
 * Reads a plain TIFF's rows in order, a few megabytes at a time, however its strips are cut (scanner drivers write
 * one strip of hundreds of megabytes).
 * @param into where given, 16-bit samples in this machine's byte order go straight there (no copy) and `take` sees views of it
 * @param take called with each band of rows; the samples are overwritten by the next call
 * @throws RequestError where the file ends early
 */
export async function readPlainRows(
  path: string,
  bytes: number,
  picture: TiffPicture,
  take: (rows: StoredRows) => void,
  into?: Uint16Array,
): Promise<void> {
  const { width, height, samples, bits, rowsPerStrip, offsets } = picture
  const rowSamples = width * samples
  const rowBytes = rowSamples * (bits / 8)
  const bandRows = Math.max(1, Math.floor(CHUNK_BYTES / rowBytes))
  const own = into ? undefined : new Uint8Array(Math.min(bandRows, height) * rowBytes)
  const swap = bits === 16 && picture.littleEndian !== (endianness() === 'LE')
  const file = await open(path)
  try {
    for (let strip = 0, row = 0; row < height; strip++) {
      const stripEnd = Math.min(row + rowsPerStrip, height)
      let position = offsets[strip]
      while (row < stripEnd) {
        const rows = Math.min(bandRows, stripEnd - row)
        const length = rows * rowBytes
        const target = into
          ? new Uint8Array(into.buffer, into.byteOffset + row * rowBytes, length)
          : own!.subarray(0, length)
        for (let done = 0; done < length; ) {
          const { bytesRead } = await file.read(target, done, length - done, position + done)
          if (bytesRead === 0) throw truncated(path, bytes, position + length)
          done += bytesRead
        }
        if (swap) swapPairs(target)
        const view = bits === 16 ? new Uint16Array(target.buffer, target.byteOffset, length / 2) : target
        take({ samples: view, channels: samples, width, height, firstRow: row })
        position += length
        row += rows
      }
    }
  } finally {
    await file.close()
  }
}

function swapPairs(bytes: Uint8Array): void {
  for (let i = 0; i < bytes.length; i += 2) {
    const first = bytes[i]
    bytes[i] = bytes[i + 1]
    bytes[i + 1] = first
  }
}
