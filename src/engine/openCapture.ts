import { decodePicture } from '../files/decodePicture.js'
import type { FileHeader } from '../files/FileHeader.js'
import type { ChainCapture } from './Chain.js'
import { captureTransform } from './captureTransform.js'
import { sharedTransform } from './sharedTransform.js'

export interface OpenedCapture extends ChainCapture {
  header: FileHeader
  /** What the numbers were taken to mean: a profile's description. */
  profile: string
  /** False where nothing said what the numbers mean and sRGB stands in. */
  tagged: boolean
  notes: string[]
}

/**
 * Decodes a capture, a board or a chart, and finds how its numbers become linear light.
 * @param path absolute path
 * @param label the path as the person wrote it
 * @param profile `captures.profile`: absolute path of a profile, `none` for linear numbers, undefined for the embedded one
 * @param signal stops it
 * @throws RequestError for a file that is no usable picture or a profile that is none; Interrupted
 */
export async function openCapture(
  path: string,
  label: string,
  profile: string | undefined,
  signal: AbortSignal,
): Promise<OpenedCapture> {
  const { raster, header, notes } = await decodePicture(path, { signal })
  const { transform, description, tagged } = await captureTransform(header, label, profile)
  return {
    raster,
    transform: sharedTransform(transform),
    header,
    profile: description,
    tagged,
    notes,
  }
}
