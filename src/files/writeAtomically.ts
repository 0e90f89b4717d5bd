import { randomBytes } from 'node:crypto'
import { type FileHandle, open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { writeProblem } from './fileProblem.js'
import { makeFolder } from './makeFolder.js'

/**
 * Writes a file under a temporary name beside its place and renames it, so that a half-written file never bears the
 * name. Makes the folders above it.
 * @param write fills the file
 * @throws WorkError: disk full, place not writable; whatever `write` throws. Then nothing is left behind.
 */
export async function writeAtomically(
  path: string,
  write: (file: FileHandle) => Promise<void>,
): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${randomBytes(4).toString('hex')}.part`)
  let file: FileHandle | undefined
  try {
    await makeFolder(dirname(path))
    file = await open(temporary, 'wx')
    await write(file)
    await file.close()
    file = undefined
    await rename(temporary, path)
  } catch (cause) {
    await file?.close().catch(() => {})
    await rm(temporary, { force: true }).catch(() => {})
    throw writeProblem(path, cause)
  }
}

/** Writes whole byte arrays one after the other. */
export async function writeAll(file: FileHandle, ...parts: Uint8Array[]): Promise<void> {
  for (const part of parts) {
    for (let done = 0; done < part.length; ) {
      done += (await file.write(part, done, Math.min(part.length - done, 1 << 30))).bytesWritten
    }
  }
}
