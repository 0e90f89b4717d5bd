import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { pipeline } from 'node:stream/promises'
import { Interrupted } from '../errors.js'
import { readProblem } from './fileProblem.js'

/**
 * SHA-256 of a file's bytes, read in chunks.
 * @returns 64 lower-case hexadecimal digits
 * @throws RequestError where it is missing; Interrupted by the signal
 */
export async function sha256File(path: string, { signal }: { signal?: AbortSignal } = {}): Promise<string> {
  const hash = createHash('sha256')
  try {
    await pipeline(createReadStream(path, { highWaterMark: 1 << 20 }), hash, { signal })
  } catch (cause) {
    if (signal?.aborted) throw new Interrupted({ cause })
    throw readProblem(path, cause)
  }
  return hash.digest('hex')
}
