import { readdir, rm } from 'node:fs/promises'
import { hostname } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { kill, pid } from 'node:process'
import { undoMoveIn } from './moveIn.js'

/** `staging`: the files of a run that is not finished. `aside`: an earlier run's files while new ones move in. */
type Part = 'staging' | 'aside'

const HOST = hostname().replace(/[^A-Za-z0-9-]/g, '') || 'here'
/** Counted so that one process can work on several folders, or on one folder after another. */
let serial = 0
/** Marks of work of this very process, which has the process number of its namesake before a restart. */
const ours = new Set<string>()

/** The names of a run's two hidden folders: both state the output folder, the machine and the process. */
export function hiddenNames(folder: string): Record<Part, string> & { forget(): void } {
  const mark = `.${basename(folder)}.${HOST}.${pid}.${++serial}`
  ours.add(mark)
  return { staging: `${mark}.staging`, aside: `${mark}.aside`, forget: () => ours.delete(mark) }
}

/**
 * Clears away what processes of this machine that are gone have left for an output folder, beside it and in it:
 * unfinished files are removed, a commit that broke off is undone.
 */
export async function clearLeftovers(folder: string): Promise<void> {
  const prefix = `.${basename(folder)}.${HOST}.`
  for (const place of [dirname(folder), folder]) {
    const names = await readdir(place).catch(() => [] as string[])
    const dead = names.filter((name) => name.startsWith(prefix) && isAbandoned(name, prefix))
    // Old files come back before the new ones that took their place are swept away.
    for (const name of dead) if (name.endsWith('.aside')) await undoMoveIn(folder, join(place, name))
    for (const name of dead) {
      if (name.endsWith('.staging')) await rm(join(place, name), { recursive: true, force: true })
    }
  }
}

function isAbandoned(name: string, prefix: string): boolean {
  const [, process, mark] = /^(\d+)\.(\d+)\.(staging|aside)$/.exec(name.slice(prefix.length)) ?? []
  if (!mark) return false
  if (Number(process) === pid) return !ours.has(`${prefix}${process}.${mark}`)
  try {
    kill(Number(process), 0)
    return false
  } catch (cause) {
    return (cause as NodeJS.ErrnoException).code === 'ESRCH'
  }
}
