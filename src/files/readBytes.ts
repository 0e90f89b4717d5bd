import { readFile } from 'node:fs/promises'
import { readProblem } from './fileProblem.js'

/**
 * A small file as it is, such as an ICC profile.
 * @throws RequestError where it is missing or a folder
 */
export async function readBytes(path: string): Promise<Uint8Array> {
  try {
    return new Uint8Array(await readFile(path))
  } catch (cause) {
    throw readProblem(path, cause)
  }
}
