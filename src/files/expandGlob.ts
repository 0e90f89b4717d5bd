import { glob } from 'tinyglobby'

/** Orders names as people number them: tile-2 before tile-10, whatever the machine's language. */
const natural = new Intl.Collator('en', { numeric: true })

/**
 * The files a pattern names, in natural order.
 * @param folder absolute; relative patterns start here
 * @param pattern `*`, `?`, `[..]`, `{a,b}`, `**`; always with forward slashes
 * @returns absolute paths; none where nothing matches
 */
export async function expandGlob(folder: string, pattern: string): Promise<string[]> {
  const found = await glob(pattern, {
    cwd: folder,
    absolute: true,
    onlyFiles: true,
    expandDirectories: false,
  })
  return found.sort((a, b) => natural.compare(a, b) || (a < b ? -1 : 1))
}
