import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Disk } from './Disk.js'

/** The folder of this package, absolute: the nearest one above this module that holds `package.json`. */
export async function packageFolder(disk: Pick<Disk, 'exists'>): Promise<string> {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!(await disk.exists(join(folder, 'package.json')))) {
    const above = dirname(folder)
    if (above === folder) throw new Error('the program is not inside its package')
    folder = above
  }
  return folder
}
