import { mkdir, rename, rm, rmdir, stat } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import { FinetoothError, RequestError, WorkError } from '../errors.js'
import { writeProblem } from './fileProblem.js'
import { makeFolder } from './makeFolder.js'
import { filesUnder } from './output/filesUnder.js'
import { clearLeftovers, hiddenNames } from './output/leftovers.js'
import { moveIn } from './output/moveIn.js'
import { type PreviousRun, previousRun } from './output/previousRun.js'

/** An output folder while a run works: everything is written to `stagingPath` and shows only once it is complete. */
export interface OutputFolder {
  /** Absolute path of the output folder. */
  path: string
  /** A hidden folder on the same disk; write here, with the names the files shall have. */
  stagingPath: string
  /** Moves everything into place. Throws WorkError or RequestError after having put everything back. */
  commit(): Promise<void>
  /** Takes the unfinished files away; does nothing after `commit`. */
  discard(): Promise<void>
  /** An error that names a file by where it lies meanwhile, with the place it was meant for instead; others as they are. */
  asMeant(error: unknown): unknown
}

/**
 * Opens an output folder for a run. Nothing in it changes before `commit`; files of others in it are never touched.
 * @param path the output folder; it need not exist, nor the folders above it
 * @param options.overwrite an earlier run there is replaced, once the new one is complete
 * @param options.willWrite names the run is going to write, relative: checked now as `commit` checks them, before hours
 * of work
 * @throws RequestError where an earlier run is there and may not be replaced, where a file that is not ours bears one
 * of our names, where the place is not a folder; WorkError where it may not be written to
 */
export async function openOutputFolder(
  path: string,
  { overwrite, willWrite = [] }: { overwrite: boolean; willWrite?: readonly string[] },
): Promise<OutputFolder> {
  const folder = resolve(path)
  const inPlace = await isFolderOrNothing(folder)
  if (inPlace) {
    await clearLeftovers(folder)
    await refuseConflicts(folder, willWrite, await replaceable(folder, overwrite))
  }
  const names = hiddenNames(folder)
  // Inside where the folder exists: it may be a disk of its own, or its parent closed to us.
  const home = inPlace ? folder : dirname(folder)
  const stagingPath = join(home, names.staging)
  let made: string | undefined
  try {
    made = await makeFolder(home)
    if (!inPlace) await clearLeftovers(folder)
    await mkdir(stagingPath)
  } catch (cause) {
    // The folders above were made: that one is missing is how some file systems say that they take none.
    throw (cause as NodeJS.ErrnoException).code === 'ENOENT'
      ? noFolderHere(home, cause)
      : writeProblem(home, cause)
  }

  const commit = async () => {
    try {
      const files = await filesUnder(stagingPath)
      if (!(await isFolderOrNothing(folder))) {
        await rename(stagingPath, folder)
      } else {
        const before = await replaceable(folder, overwrite)
        await refuseConflicts(folder, files, before)
        const old = new Set([...(before?.files ?? []), ...files.filter((name) => before?.owns(name))])
        await moveIn(folder, stagingPath, files, [...old].sort(), join(dirname(stagingPath), names.aside))
      }
      await rm(stagingPath, { recursive: true, force: true })
      names.forget()
    } catch (cause) {
      if (cause instanceof FinetoothError) throw cause
      throw new WorkError(
        {
          where: folder,
          what: `the finished files could not be moved into place: ${(cause as Error).message}`,
        },
        { cause },
      )
    }
  }
  const discard = async () => {
    await rm(stagingPath, { recursive: true, force: true })
    names.forget()
    if (made) await removeEmpty(home, made)
  }
  const asMeant = (error: unknown) => {
    if (!(error instanceof WorkError || error instanceof RequestError)) return error
    if (!error.problems.some(({ where }) => where?.startsWith(stagingPath))) return error
    const problems = error.problems.map((problem) => ({
      ...problem,
      where: problem.where?.replace(stagingPath, folder),
    }))
    const options = { cause: error }
    return error instanceof WorkError ? new WorkError(problems, options) : new RequestError(problems, options)
  }
  return { path: folder, stagingPath, commit, discard, asMeant }
}

function noFolderHere(home: string, cause: unknown): WorkError {
  return new WorkError(
    { where: home, what: 'no folder can be made here', todo: 'Choose another output folder with --out' },
    { cause },
  )
}

/** True for a folder, false for nothing; anything else is refused. */
async function isFolderOrNothing(path: string): Promise<boolean> {
  const found = await stat(path).catch((cause: NodeJS.ErrnoException) => {
    if (cause.code === 'ENOENT') return undefined
    if (cause.code === 'ENOTDIR') {
      throw new RequestError(
        {
          where: path,
          what: 'one of the folders above the output folder is a file',
          todo: 'Choose another output folder with --out',
        },
        { cause },
      )
    }
    throw writeProblem(path, cause)
  })
  if (found && !found.isDirectory()) {
    throw new RequestError({
      where: path,
      what: 'the output folder is a file',
      expected: 'a folder, or a name that is still free',
      todo: 'Choose another output folder with --out',
    })
  }
  return found !== undefined
}

/** The earlier run that may be replaced, if there is one. */
async function replaceable(folder: string, overwrite: boolean): Promise<PreviousRun | undefined> {
  const before = await previousRun(folder)
  if (before && !overwrite) {
    throw new RequestError({
      where: join(folder, 'run.json'),
      what: 'an earlier run is in the output folder',
      todo: 'Choose another folder with --out, or replace the earlier run with --overwrite; it is replaced only once the new one is complete',
    })
  }
  return before
}

/** Throws where a new file would fall on something that no earlier run of ours wrote. */
async function refuseConflicts(
  folder: string,
  files: readonly string[],
  before: PreviousRun | undefined,
): Promise<void> {
  const inTheWay = new Set<string>()
  for (const name of files) {
    for (let at = dirname(name); at !== '.'; at = dirname(at)) {
      const found = await stat(join(folder, at)).catch(() => undefined)
      if (found && !found.isDirectory() && !before?.owns(at)) inTheWay.add(at)
    }
    const found = await stat(join(folder, name)).catch(() => undefined)
    if (found && (found.isDirectory() || !before?.owns(name))) inTheWay.add(name)
  }
  if (inTheWay.size > 0) {
    throw new RequestError(
      [...inTheWay].map((name) => ({
        where: join(folder, name),
        what: 'a file that no run of this tool wrote is in the way',
        todo: 'Move it elsewhere, or choose another output folder with --out',
      })),
    )
  }
}

/** Takes away empty folders from `from` up to `top`. */
async function removeEmpty(from: string, top: string): Promise<void> {
  for (let at = from; at.length >= top.length; at = dirname(at)) {
    const removed = await rmdir(at).then(
      () => true,
      () => false,
    )
    if (!removed) return
  }
}
