import { decodePicture } from '../files/decodePicture.js'
import type { FileHeader } from '../files/FileHeader.js'
import type { RawColour } from '../files/raw/RawColour.js'
import { readHeader } from '../files/readHeader.js'
import type { ChainCapture } from './Chain.js'
import { captureTransform } from './captureTransform.js'
import { sharedTransform } from './sharedTransform.js'
import type { WorkerPool } from './WorkerPool.js'

export type WhiteBalance = RawColour['whiteBalance']

export interface OpenedCapture extends ChainCapture {
  header: FileHeader
  /** What the numbers were taken to mean: a profile's description. */
  profile: string
  /** False where nothing said what the numbers mean and sRGB stands in. */
  tagged: boolean
  /** What a camera raw file was balanced by. */
  whiteBalance?: WhiteBalance
  notes: string[]
}

/** White balances that differ by more than this are told. */
const SAME_BALANCE = 0.01

/**
 * Decodes a capture, a board or a chart, and finds how its numbers become linear light. Camera raw files are developed
 * in a worker.
 * @param path absolute path
 * @param label the path as the person wrote it
 * @param profile `captures.profile`: absolute path of a profile, `none` for linear numbers, undefined for the embedded one
 * @param whiteBalance of the run's first camera raw file: all are balanced by one, so that they stay comparable
 * @throws RequestError for a file that is no usable picture or a profile that is none; Interrupted
 */
export async function openCapture(
  path: string,
  label: string,
  profile: string | undefined,
  pool: Pick<WorkerPool, 'run' | 'signal'>,
  whiteBalance?: WhiteBalance,
): Promise<OpenedCapture> {
  const layout = await readHeader(path)
  if (!layout.raw) {
    const { raster, header, notes } = await decodePicture(path, { signal: pool.signal })
    const { transform, description, tagged } = await captureTransform(header, label, profile)
    return { raster, transform: sharedTransform(transform), header, profile: description, tagged, notes }
  }
  const balance = whiteBalance ?? layout.raw.whiteBalance
  const raster = await pool.run('raw', { path, whiteBalance: balance })
  const { transform, description, tagged } = await captureTransform(layout, label, profile, balance)
  return {
    ...{ raster, transform: sharedTransform(transform), header: layout, profile: description, tagged },
    whiteBalance: balance,
    notes: [...layout.notes, balanceWords(balance, layout.raw.whiteBalance)],
  }
}

function balanceWords(used: WhiteBalance, own: WhiteBalance): string {
  const words = ({ red, blue }: WhiteBalance) => `red x ${red.toFixed(3)}, blue x ${blue.toFixed(3)}`
  const same =
    Math.abs(own.red / used.red - 1) < SAME_BALANCE && Math.abs(own.blue / used.blue - 1) < SAME_BALANCE
  return same
    ? `camera raw, linear; its white balance as shot is ${words(own)}`
    : `camera raw, linear; its white balance as shot is ${words(own)}, but it was balanced by that of the first capture, ${words(used)}, so that the two stay comparable (did the camera balance by itself?)`
}
