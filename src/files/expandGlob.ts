import { stat } from 'node:fs/promises'
import { resolve } from 'node:path'
import { glob } from 'tinyglobby'

/** Orders names as people number them: tile-2 before tile-10, whatever the machine's language. */
const natural = new Intl.Collator('en', { numeric: true })

/**
 * The files a pattern names, in natural order.
 * @param folder absolute; relative patterns start here
 * @param pattern the name of a file as it is, `scan [1].tif` too; or `*`, `?`, `[..]`, `{a,b}`, `**`; always with forward slashes
 * @returns absolute paths; none where nothing matches
 */
export async function expandGlob(folder: string, pattern: string): Promise<string[]> {
  const literal = resolve(folder, pattern)
  if (
    await stat(literal).then(
      (s) => s.isFile(),
      () => false,
    )
  )
    return [literal]
  const found = await glob(pattern, {
    cwd: folder,
    absolute: true,
    onlyFiles: true,
    expandDirectories: false,
  })
  return found.sort((a, b) => natural.compare(a, b) || (a < b ? -1 : 1))
}
