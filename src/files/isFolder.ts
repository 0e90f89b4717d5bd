import { stat } from 'node:fs/promises'

/** True where a folder is at the path. */
export async function isFolder(path: string): Promise<boolean> {
  return stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  )
}
