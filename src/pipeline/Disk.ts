/** What the pipeline asks of the disk: texts, patterns and whether something is there. Never a picture. */
export interface Disk {
  readText(path: string): Promise<string>
  /** Absolute paths that match a pattern with `*`, `?`, `[]` or `{}`, relative to an absolute folder, in natural order. */
  expandGlob(folder: string, pattern: string): Promise<string[]>
  exists(path: string): Promise<boolean>
  isFolder(path: string): Promise<boolean>
}
