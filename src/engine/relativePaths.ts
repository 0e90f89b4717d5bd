import { isAbsolute, relative } from 'node:path'

/** A copy of plain data with every absolute path in it made relative to a folder. */
export function relativePaths(value: unknown, folder: string): unknown {
  if (typeof value === 'string') return isAbsolute(value) ? relative(folder, value) || '.' : value
  if (Array.isArray(value)) return value.map((item) => relativePaths(item, folder))
  if (value && typeof value === 'object') {
    return Object.fromEntries(
      Object.entries(value)
        .filter(([, item]) => typeof item !== 'function')
        .map(([key, item]) => [key, relativePaths(item, folder)]),
    )
  }
  return value
}
