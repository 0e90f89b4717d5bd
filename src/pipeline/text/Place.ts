import { dirname, relative } from 'node:path'

/** Where a value was written: a spot in a pipeline file, or a `--set` on the command line. */
export interface Place {
  /** The file as it is shown to the person, or the whole `--set key=value`. */
  source: string
  /** Absolute folder that relative paths written here start from. */
  folder: string
  /** 1-based; 0 where there is no text to point into. */
  line: number
  column: number
}

/** `file:line:column`, or the source alone where there is no text to point into. */
export function where({ source, line, column }: Place): string {
  return line === 0 ? source : `${source}:${line}:${column}`
}

/** A path as it is shown: from the current folder if it lies inside, else in full; with forward slashes. */
export function shownPath(path: string, currentFolder: string): string {
  const inside = relative(currentFolder, path)
  return (inside === '' || inside.startsWith('..') ? path : inside).replaceAll('\\', '/')
}

/** The very start of a file. */
export function startOf(file: string, currentFolder: string): Place {
  return { source: shownPath(file, currentFolder), folder: dirname(file), line: 1, column: 1 }
}
