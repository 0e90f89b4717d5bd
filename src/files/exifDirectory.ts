import type { CaptureConditions } from '../colour/exposure/CaptureConditions.js'
import { captureConditions } from './captureConditions.js'
import { type ReadBytes, readDirectory, type TiffDirectory } from './tiff/readDirectory.js'

/**
 * The first directory of an EXIF block (a TIFF of its own), and how the capture was taken.
 * @returns undefined where it makes no sense: EXIF is a courtesy beside the picture, never a reason to refuse it
 */
export async function exifDirectory(
  exif: Uint8Array,
): Promise<{ directory?: TiffDirectory; conditions?: CaptureConditions }> {
  const read: ReadBytes = async (position, length) => {
    if (position + length > exif.length) throw new RangeError('it ends early')
    return exif.subarray(position, position + length)
  }
  const directory = await readDirectory(read).catch(() => undefined)
  return { directory, conditions: await captureConditions(directory, read) }
}

/** The orientation in a directory, 1 to 8; 1 where there is none. */
export function orientationIn(directory: TiffDirectory | undefined): number {
  const value = directory?.fields.get(274)?.values[0] ?? 1
  return value >= 1 && value <= 8 ? value : 1
}
