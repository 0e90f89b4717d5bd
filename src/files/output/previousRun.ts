import { isAbsolute, join, normalize } from 'node:path'
import { RequestError } from '../../errors.js'
import { exists } from '../exists.js'
import { readText } from '../readText.js'

/** Files a run may write that its record does not list among its outputs. */
const FIXED_NAMES = ['run.json', 'ticket.md', 'master.tif', 'report/index.html']

/** The files of an earlier run, relative to its folder. */
export interface PreviousRun {
  /** True for a file that the earlier run wrote, and for everything in `report/`, which is ours by name. */
  owns(path: string): boolean
  files: string[]
}

/**
 * What an earlier run left in a folder, by its `run.json`.
 * @returns undefined where there is no `run.json`
 * @throws RequestError where `run.json` is something else than a run record: then nothing in the folder is known to be ours
 */
export async function previousRun(folder: string): Promise<PreviousRun | undefined> {
  const path = join(folder, 'run.json')
  if (!(await exists(path))) return undefined
  let outputs: unknown
  try {
    const record = JSON.parse(await readText(path))
    outputs = record?.record === 1 ? (record.outputs ?? []) : undefined
  } catch {
    // worded below
  }
  if (!Array.isArray(outputs)) {
    throw new RequestError({
      where: path,
      what: 'this is not the record of a run, so what may be replaced here is not known',
      expected: 'a run record of format 1',
      todo: 'Choose another output folder, or move the file away',
    })
  }
  const listed = outputs
    .map((output) => output?.path)
    .filter((name): name is string => typeof name === 'string' && isInside(name))
    .map((name) => normalize(name).replaceAll('\\', '/'))
  const files = [...new Set([...listed, ...FIXED_NAMES])]
  return { files, owns: (name) => files.includes(name) || name.startsWith('report/') }
}

function isInside(name: string): boolean {
  return name !== '' && !isAbsolute(name) && !normalize(name).startsWith('..')
}
