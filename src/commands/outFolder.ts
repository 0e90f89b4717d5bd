import { basename, dirname, extname, join, resolve } from 'node:path'

/**
 * Where a run writes: `--out` from the current folder, else `<pipeline name>-out` beside the pipeline file.
 * @param file absolute path of the pipeline file
 */
export function outFolder(file: string, out: string | undefined, currentFolder: string): string {
  if (out !== undefined) return resolve(currentFolder, out)
  return join(dirname(file), `${basename(file, extname(file))}-out`)
}
