import { stat } from 'node:fs/promises'

/** True where something is at the path: a file or a folder. */
export async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  )
}
