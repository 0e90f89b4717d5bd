import type { Problem } from '../../errors.js'
import type { Disk } from '../Disk.js'
import { type Place, where } from '../text/Place.js'

/**
 * The mistake of a path that names no file, or undefined where it names one.
 * @param path absolute
 * @param key the key's path, for messages
 * @param label the path as it is shown
 */
export async function fileProblem(
  disk: Disk,
  path: string,
  place: Place,
  key: string,
  label: string,
): Promise<Problem | undefined> {
  if (await disk.isFolder(path)) {
    const todo = `Name the files inside it, such as ${label}/*.tif`
    return { where: where(place), what: `${key}: ${label} is a folder`, expected: 'a file', todo }
  }
  if (await disk.exists(path)) return undefined
  return {
    where: where(place),
    what: `${key}: there is no file ${label}`,
    todo: place.line
      ? 'Paths are relative to the pipeline file they stand in'
      : 'Paths after --set are relative to the current folder',
  }
}
