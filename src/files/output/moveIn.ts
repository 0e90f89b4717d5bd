import { lstat, mkdir, readFile, rename, rm, rmdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { WorkError } from '../../errors.js'
import { makeFolder } from '../makeFolder.js'
import { writeText } from '../writeText.js'
import { filesUnder } from './filesUnder.js'

/**
 * List of the new files, kept beside the old ones. It is written once all old files are out of the way and before the
 * first new one moves in: where it exists, whatever bears a listed name in the folder is new.
 */
const JOURNAL = 'moving-in.json'

/**
 * Puts new files into a folder that exists: the old ones are moved aside first, then the new ones moved in, `run.json`
 * last. If a rename fails, everything goes back to where it was.
 * @param staging folder that holds the new files
 * @param files the new files, relative
 * @param old files to move aside, relative; those that do not exist are passed over
 * @param aside folder for them, on the same file system; gone afterwards
 * @throws WorkError after having put everything back
 */
export async function moveIn(
  folder: string,
  staging: string,
  files: readonly string[],
  old: readonly string[],
  aside: string,
): Promise<void> {
  const last = (name: string) => Number(name === 'run.json')
  const incoming = [...files].sort((a, b) => last(a) - last(b))
  try {
    await mkdir(aside)
    for (const name of old) if (await isThere(join(folder, name))) await move(folder, aside, name)
    await writeText(join(aside, JOURNAL), JSON.stringify(incoming))
    for (const name of incoming) await move(staging, folder, name)
  } catch (cause) {
    await undoMoveIn(folder, aside).catch((second) => {
      throw new WorkError(
        {
          where: aside,
          what: `neither could the finished files be moved in nor the earlier ones back: ${second.message}`,
          todo: 'The earlier files are safe here; the next run into the same folder puts them back',
        },
        { cause },
      )
    })
    throw new WorkError(
      {
        where: folder,
        what: `the finished files could not be moved into the output folder: ${(cause as Error).message}`,
        todo: 'What was there before has been put back. Check that the folder may be written to and run again',
      },
      { cause },
    )
  }
  await rm(aside, { recursive: true, force: true })
  await removeEmptyFolders(folder, old)
}

/**
 * Undoes a commit that broke off, from what it left in `aside`: new files out, old files back.
 * New files are removed: they can be made again, the old ones cannot.
 */
export async function undoMoveIn(folder: string, aside: string): Promise<void> {
  if (!(await isThere(aside))) return
  const saved = (await filesUnder(aside)).filter(
    (name) => name !== JOURNAL && !name.startsWith(`.${JOURNAL}`),
  )
  const incoming: string[] = await readFile(join(aside, JOURNAL), 'utf8').then(JSON.parse, () => [])
  const lost = incoming.filter((name) => !saved.includes(name))
  for (const name of lost) await rm(join(folder, name), { force: true })
  for (const name of saved) await move(aside, folder, name)
  await removeEmptyFolders(folder, lost)
  await rm(aside, { recursive: true, force: true })
}

async function move(from: string, to: string, name: string): Promise<void> {
  await makeFolder(dirname(join(to, name)))
  await rename(join(from, name), join(to, name))
}

async function isThere(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  )
}

/** Takes away the folders these files lay in, where they are empty now. */
async function removeEmptyFolders(folder: string, names: readonly string[]): Promise<void> {
  for (const name of names) {
    for (let at = dirname(name); at !== '.'; at = dirname(at)) {
      const removed = await rmdir(join(folder, at)).then(
        () => true,
        () => false,
      )
      if (!removed) break
    }
  }
}
