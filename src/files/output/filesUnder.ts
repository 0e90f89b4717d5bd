import { readdir } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'

/** Every file below a folder, relative to it, with forward slashes, in a fixed order. */
export async function filesUnder(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true })
  return entries
    .filter((entry) => !entry.isDirectory())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort()
}
