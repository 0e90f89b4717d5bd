import { statfs } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { readProblem } from './fileProblem.js'

/**
 * Bytes this user may still write on the disk that holds `folder`; where the folder does not exist yet, on the disk
 * of the nearest folder above it.
 */
export async function freeBytes(folder: string): Promise<number> {
  for (let at = resolve(folder); ; at = dirname(at)) {
    try {
      const { bavail, bsize } = await statfs(at)
      return bavail * bsize
    } catch (cause) {
      const code = (cause as NodeJS.ErrnoException).code
      if ((code !== 'ENOENT' && code !== 'ENOTDIR') || at === dirname(at)) throw readProblem(at, cause)
    }
  }
}
