import { RequestError } from '../../src/errors.js'
import type { Pipeline } from '../../src/pipeline/Pipeline.js'
import { loadPipeline } from '../../src/pipeline/Pipeline.js'
import { fakeRegistries, memoryDisk } from './fakes.js'

export const FILES = {
  '/job/captures/scan.tif': '',
  '/job/captures/tile-1.tif': '',
  '/job/captures/tile-2.tif': '',
  '/job/captures/board.tif': '',
  '/job/captures/chart.tif': '',
  '/job/scanner.icc': '',
  '/package/package.json': '',
}

/** Loads a text as `/job/p.yaml`, on a disk that holds FILES and what else is given, with the current folder `/job`. */
export function load(text: string, set: string[] = [], more: Record<string, string> = {}): Promise<Pipeline> {
  const disk = memoryDisk({ ...FILES, '/job/p.yaml': text, ...more })
  return loadPipeline('p.yaml', { set, currentFolder: '/job' }, { ...fakeRegistries, disk })
}

/** The mistakes of a text, one message each. */
export async function mistakes(
  text: string,
  set: string[] = [],
  more: Record<string, string> = {},
): Promise<string[]> {
  const error = await load(text, set, more).then(
    () => undefined,
    (caught: unknown) => caught,
  )
  if (error === undefined) return []
  if (!(error instanceof RequestError)) throw error
  return error.message.split('\n')
}
