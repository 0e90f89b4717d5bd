import { basename, dirname, extname, join, resolve } from 'node:path'
import { FinetoothError, type Problem, RequestError } from '../../errors.js'
import type { Disk } from '../Disk.js'
import { packageFolder } from '../packageFolder.js'
import { merge } from './merge.js'
import type { MapNode } from './Node.js'
import { nearest } from './nearest.js'
import { shownPath, startOf, where } from './Place.js'
import { parseText } from './parseText.js'

const PICTURES = new Set(['.tif', '.tiff', '.jpg', '.jpeg', '.png', '.icc', '.icm', '.pdf', '.webp'])

/**
 * The tree of a pipeline file over all the files it extends.
 * @param file absolute path
 * @param currentFolder absolute; only for how paths are shown
 * @returns the tree without its `extends`, and mistakes that leave the rest readable (doubled keys)
 * @throws RequestError where a file is missing, is no pipeline, or its YAML cannot be read
 */
export async function readTree(
  file: string,
  currentFolder: string,
  disk: Disk,
): Promise<{ root: MapNode; problems: Problem[] }> {
  return readLayer(file, [])

  async function readLayer(
    path: string,
    above: readonly string[],
  ): Promise<{ root: MapNode; problems: Problem[] }> {
    const start = startOf(path, currentFolder)
    if (PICTURES.has(extname(path).toLowerCase())) {
      throw notAPipeline(start.source, `a ${extname(path).slice(1)} file`)
    }
    const text = await disk.readText(path)
    if (text.includes('\0')) throw notAPipeline(start.source, 'a file that is not text')
    const { node, problems } = parseText(text, start)
    if (!node && problems.length > 0) throw new RequestError(problems)
    if (!node || (node.kind === 'scalar' && node.value === null))
      throw notAPipeline(start.source, 'an empty file')
    if (node.kind !== 'map')
      throw notAPipeline(start.source, node.kind === 'list' ? 'a list' : 'a single text')

    const extended = node.entries.get('extends')
    if (!extended) return { root: node, problems }
    const entries = new Map(node.entries)
    entries.delete('extends')
    const own: MapNode = { ...node, entries }
    const at = where(extended.node.place)
    if (extended.node.kind !== 'scalar' || typeof extended.node.value !== 'string' || !extended.node.value) {
      problems.push({ where: at, what: 'extends: wrong type', expected: 'the path of another pipeline file' })
      return { root: own, problems }
    }
    const base = await baseFile(extended.node.value, path)
    const chain = [...above, path]
    if (chain.includes(base)) {
      const circle = [...chain.slice(chain.indexOf(base)), base].map((one) => shownPath(one, currentFolder))
      throw new RequestError({
        where: at,
        what: `extends: the files extend each other in a circle: ${circle.join(' > ')}`,
      })
    }
    if (!(await disk.exists(base))) {
      throw await noBase(extended.node.value, base, at)
    }
    const below = await readLayer(base, chain).catch((error: unknown) => {
      if (!(error instanceof FinetoothError) || error.problems.every((problem) => problem.where)) throw error
      throw new RequestError(
        error.problems.map((problem) => ({ ...problem, where: problem.where ?? at })),
        { cause: error },
      )
    })
    return { root: merge(below.root, own) as MapNode, problems: [...problems, ...below.problems] }
  }

  async function noBase(named: string, base: string, at: string): Promise<RequestError> {
    if (!isReadyMade(named)) {
      return new RequestError({
        where: at,
        what: `extends: there is no file ${shownPath(base, currentFolder)}`,
        todo: 'Paths are relative to the pipeline file they stand in',
      })
    }
    const files = await disk.expandGlob(dirname(base), '*.yaml')
    const names = files.map((path) => basename(path, '.yaml'))
    const near = nearest(named, names)
    return new RequestError({
      where: at,
      what: `extends: there is no ready-made pipeline ${named}`,
      expected: `one of ${names.join(', ')}, or the path of a pipeline file with its ending`,
      todo: near && `Nearest spelling: ${near}`,
    })
  }

  /** A path from the file that names it, or the plain name of a ready-made pipeline. */
  async function baseFile(named: string, from: string): Promise<string> {
    if (!isReadyMade(named)) return resolve(dirname(from), named)
    return join(await packageFolder(disk), 'pipelines', `${named}.yaml`)
  }
}

/** A plain name without an ending or a folder. */
const isReadyMade = (named: string) => /^[\w-]+$/.test(named)

function notAPipeline(source: string, found: string): RequestError {
  return new RequestError({
    where: source,
    what: 'not a pipeline file',
    expected: 'a YAML file with keys such as captures, steps and outputs',
    found,
    todo: 'Start one with `finetooth new DIR`',
  })
}
