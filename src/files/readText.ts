import { readFile } from 'node:fs/promises'
import { readProblem } from './fileProblem.js'
import { unfit } from './unfit.js'

/**
 * A UTF-8 text; a byte order mark is taken off.
 * @throws RequestError where it is missing, a folder, or not UTF-8 text
 */
export async function readText(path: string): Promise<string> {
  const bytes = await readFile(path).catch((cause) => {
    throw readProblem(path, cause)
  })
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
    if (!text.includes('\0')) return text
  } catch {
    // worded below
  }
  throw unfit(path, {
    what: 'this is not a text file',
    expected: 'text in UTF-8',
    found: 'bytes that are not UTF-8 text',
    todo: 'Save it again as plain text in UTF-8',
  })
}
