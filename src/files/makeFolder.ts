import { mkdir, stat } from 'node:fs/promises'
import { dirname } from 'node:path'

/**
 * Makes a folder and the folders above it that are missing; one that exists is fine.
 *
 * Level by level, because Node's own `recursive` never returns where the system denies a folder with "no such file"
 * (as in /proc).
 * @returns the topmost folder made, undefined where none was
 * @throws the system's error, unchanged
 */
export async function makeFolder(path: string): Promise<string | undefined> {
  let top: string | undefined
  try {
    await mkdir(path)
    return path
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EEXIST' && (await stat(path)).isDirectory()) return undefined
    const above = dirname(path)
    if (code !== 'ENOENT' || above === path) throw error
    top = await makeFolder(above)
  }
  try {
    await mkdir(path)
    return top ?? path
  } catch (error) {
    // Somebody else may have made it meanwhile.
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    return top
  }
}
