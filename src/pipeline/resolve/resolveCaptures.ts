import { dirname, relative } from 'node:path'
import type { Problem } from '../../errors.js'
import type { Disk } from '../Disk.js'
import type { Pipeline } from '../Pipeline.js'
import { type Place, where } from '../text/Place.js'
import { fileProblem } from './fileProblem.js'

type CaptureFile = Pipeline['captures']['files'][number]

/** An entry of `captures.files`: an absolute path or pattern, and where it was written. */
export interface WrittenCapture {
  path: string
  turned: CaptureFile['turned']
  /** Its key, for messages: `captures.files.0`. */
  key: string
  place: Place
}

const GLOB = /[*?[\]{}!]/

/**
 * The captures of a pipeline: patterns expanded in natural order, each file once. A file named by itself keeps what
 * was said of it, also where a pattern matches it too.
 * @param file absolute path of the pipeline file; labels are relative to its folder
 * @param named files that steps read besides the captures (boards, charts), absolute, with their key
 */
export async function resolveCaptures(
  file: string,
  written: readonly WrittenCapture[],
  named: ReadonlyMap<string, string>,
  disk: Disk,
): Promise<{ files: CaptureFile[]; problems: Problem[] }> {
  const problems: Problem[] = []
  const label = (path: string) => relative(dirname(file), path).replaceAll('\\', '/')
  const found = await Promise.all(
    written.map(async ({ path, turned, key, place }) => {
      const single = { paths: [path], turned, byName: true, place, key }
      if (!GLOB.test(path) || (await disk.exists(path))) {
        const problem = await fileProblem(disk, path, place, key, label(path))
        if (problem) problems.push(problem)
        return single
      }
      const paths = await disk.expandGlob(place.folder, relative(place.folder, path).replaceAll('\\', '/'))
      if (paths.length === 0) {
        problems.push({
          where: where(place),
          what: `${key}: no file matches ${label(path)}`,
          todo: 'Check the folder, the letters and the ending; patterns are relative to the file they stand in',
        })
      }
      return { paths, turned, byName: false, place, key }
    }),
  )
  const byName = new Set(found.flatMap((one) => (one.byName ? one.paths : [])))
  const files = new Map<string, CaptureFile>()
  for (const { paths, turned, byName: isNamed, place, key } of found) {
    const others = isNamed ? [] : paths.filter((path) => named.has(path) && !byName.has(path))
    if (others.length > 0 && others.length < paths.length) {
      problems.push({
        where: where(place),
        what: `${key}: the pattern also matches ${others.map((path) => `${label(path)}, which ${named.get(path)} names`).join('; ')}`,
        todo: 'Make the pattern narrower, or put boards and charts in a folder of their own',
      })
    }
    for (const path of paths) {
      if (!isNamed && byName.has(path)) continue
      if (isNamed && files.has(path)) {
        problems.push({ where: where(place), what: `${key}: ${label(path)} stands twice among the captures` })
      } else if (!files.has(path)) {
        files.set(path, { path, label: label(path), turned })
      }
    }
  }
  return { files: [...files.values()], problems }
}
