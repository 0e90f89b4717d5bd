import { basename, dirname, extname, relative, resolve } from 'node:path'
import type { z } from 'zod'
import { FinetoothError, type Problem, RequestError } from '../errors.js'
import { OUTPUTS } from '../outputs/registry.js'
import { STEPS } from '../steps/registry.js'
import { type Checked, checkAgainst } from './check/checkAgainst.js'
import type { Disk } from './Disk.js'
import type { Pipeline } from './Pipeline.js'
import type { Registries } from './Registries.js'
import { realDisk } from './realDisk.js'
import { entriesOf } from './resolve/entriesOf.js'
import { fileProblem } from './resolve/fileProblem.js'
import { inOrder } from './resolve/inOrder.js'
import { orderProblems } from './resolve/orderProblems.js'
import { outputName, outputProblems } from './resolve/outputProblems.js'
import { resolveCaptures, type WrittenCapture } from './resolve/resolveCaptures.js'
import { headSchema } from './schema/headSchema.js'
import { applySet } from './text/applySet.js'
import { knownSpelling, writeOutBareNames } from './text/entryName.js'
import { keyPlaceAt, type MapNode, valuePlaceAt } from './text/Node.js'
import { shownPath, where } from './text/Place.js'
import { readTree } from './text/readTree.js'

export interface LoadOptions {
  /** `key.path=value` overrides, applied in order. Relative paths in them start from `currentFolder`. */
  set?: readonly string[]
  /** Where relative paths of the request start from; the process's folder where left out. */
  currentFolder?: string
}

type Head = z.output<typeof headSchema>

/**
 * Reads a pipeline file to the end: its bases, the overrides, every default, every path, every pattern.
 * @param file path of the pipeline file, relative to the current folder
 * @param parts the steps, outputs and the disk; given only by tests
 * @throws RequestError with every mistake of the file at once; no picture has been read
 */
export async function loadPipeline(
  file: string,
  options: LoadOptions = {},
  parts: Partial<Registries> & { disk?: Disk } = {},
): Promise<Pipeline> {
  const { steps = STEPS, outputs = OUTPUTS, disk = realDisk } = parts
  const currentFolder = resolve(options.currentFolder ?? '.')
  const path = resolve(currentFolder, file)
  const { root: written, problems } = await readTree(path, currentFolder, disk)
  const unreadable = new Set(problems.map((problem) => problem.where))
  let root = writeOutBareNames(written) as MapNode
  for (const assignment of options.set ?? []) {
    try {
      root = applySet(root, assignment, currentFolder) as MapNode
    } catch (error) {
      if (!(error instanceof FinetoothError)) throw error
      problems.push(...error.problems)
    }
  }

  const head = checkAgainst<Head>(headSchema, root, [])
  const stepEntries = entriesOf(root, 'steps', steps)
  const outputEntries = entriesOf(root, 'outputs', outputs)
  problems.push(...head.problems, ...stepEntries.problems, ...outputEntries.problems)
  problems.push(
    ...orderProblems(root, stepEntries.entries, steps),
    ...outputProblems(root, outputEntries.entries),
  )
  const named = await checkFiles()
  const resolved = await resolveCaptures(path, capturesOf(head), named, disk)
  problems.push(...resolved.problems)
  const joined = stepEntries.entries.some(({ name }) => steps.get(name)!.scope === 'join')
  if (resolved.files.length > 1 && !joined && stepEntries.complete)
    problems.push(unjoined(resolved.files.length))
  if (problems.length > 0) {
    // What could not be read is told once, not again as something missing.
    const first = problems.filter(({ where: at }, i) => i < unreadable.size || !unreadable.has(at))
    const sources = [shownPath(path, currentFolder), ...(options.set ?? []).map((one) => `--set ${one}`)]
    throw new RequestError(inOrder(first, sources))
  }

  const { title, credit, captures, master, report } = head.value!
  const { kind, ppi, profile, size } = captures
  return {
    file: path,
    title: title ?? basename(path, extname(path)),
    credit,
    captures: { kind, files: resolved.files, ppi, profile, sizeMm: size },
    steps: stepEntries.entries.map(({ name, params }) => ({ name, params })),
    master,
    outputs: outputEntries.entries.map((entry) => ({
      kind: entry.name,
      name: outputName(entry),
      params: entry.params,
    })),
    report: report !== false,
    keyAt: (keys) => where(keyPlaceAt(root, keyPath(root, keys))),
  }

  /** The files named besides the captures, with the key that names them; those that are not there become mistakes. */
  async function checkFiles(): Promise<Map<string, string>> {
    const written = [...head.paths, ...stepEntries.paths, ...outputEntries.paths]
      .filter(({ keys }) => keys[0] !== 'captures' || keys[1] !== 'files')
      .map(({ path: absolute, keys, near }) => ({ absolute, keys, near }))
    const sound = stepEntries.entries.filter((entry) => entry.sound)
    const auxiliary = sound.flatMap(({ name, index, params }) =>
      (steps.get(name)!.auxiliaries?.(params) ?? []).map(({ key, path: absolute }) => ({
        absolute,
        keys: ['steps', index, name, ...key.split('.')],
        near: undefined,
      })),
    )
    const named = new Map<string, string>()
    for (const { absolute, keys, near } of [...written, ...auxiliary]) {
      if (named.has(absolute)) continue
      const key = keys.join('.')
      named.set(absolute, key)
      const label = relative(dirname(path), absolute).replaceAll('\\', '/')
      const problem = await fileProblem(disk, absolute, valuePlaceAt(root, keys), key, label)
      if (problem) problems.push(near ? { ...problem, todo: `Nearest spelling: ${near}` } : problem)
    }
    return named
  }

  function unjoined(count: number): Problem {
    const joining = [...steps.values()].filter(({ scope }) => scope === 'join').map(({ name }) => name)
    return {
      where: where(keyPlaceAt(root, ['captures', 'files'])),
      what: `captures.files: ${count} captures and no step that joins them`,
      expected: `${joining.join(' or ')} among the steps, or one capture`,
      todo: joining[0] && `Add the line - ${joining[0]} to steps, after the steps that work on each capture`,
    }
  }
}

/** The entries of `captures.files` whose path could be read, with what is said of each. */
function capturesOf({ paths, value }: Checked<Head>): WrittenCapture[] {
  return paths
    .filter(({ keys }) => keys[0] === 'captures' && keys[1] === 'files')
    .map(({ path, keys, place }) => {
      const entry = value?.captures.files[Number(keys[2])]
      const turned = typeof entry === 'object' ? entry.turned : 0
      return { path, turned, place, key: keys.join('.') }
    })
}

/** `steps.colour.chart` and `steps.1.colour.chart` as keys of the tree. */
function keyPath(root: MapNode, keys: string): (string | number)[] {
  const [list, second, ...rest] = keys.split('.').map(knownSpelling)
  const items = root.entries.get(list)?.node
  if (second === undefined || items?.kind !== 'list' || /^\d+$/.test(second)) {
    return [list, ...(second === undefined ? [] : [second]), ...rest]
  }
  const index = items.items.findIndex((item) => item.kind === 'map' && item.entries.has(second))
  return index < 0 ? [list] : [list, index, second, ...rest]
}
