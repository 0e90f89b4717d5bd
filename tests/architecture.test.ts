import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'

const SRC = resolve(import.meta.dirname, '../src')
const files = (readdirSync(SRC, { recursive: true, encoding: 'utf8' }) as string[])
  .filter((file) => /\.(ts|mjs)$/.test(file) && !file.includes('kernels/assembly/'))
  .map((file) => file.replaceAll('\\', '/'))

interface Import {
  file: string
  line: number
  /** A package's name, `node:x`, or a path inside src. */
  target: string
  typeOnly: boolean
}

const IMPORT = /^(?:import|export)\s+(type\s+)?(?:[^'";]*?\sfrom\s+)?'([^']+)'/gm
const DYNAMIC = /\bimport\(\s*'([^']+)'\s*\)/g

function importsOf(file: string): Import[] {
  const text = readFileSync(join(SRC, file), 'utf8')
  const found: Import[] = []
  const add = (index: number, specifier: string, typeOnly: boolean) =>
    found.push({
      file,
      line: text.slice(0, index).split('\n').length,
      target: specifier.startsWith('.')
        ? relative(SRC, resolve(SRC, dirname(file), specifier))
            .replaceAll('\\', '/')
            .replace(/\.js$/, '.ts')
        : specifier,
      typeOnly,
    })
  for (const match of text.matchAll(IMPORT)) add(match.index, match[2], Boolean(match[1]))
  for (const match of text.matchAll(DYNAMIC)) add(match.index, match[1], false)
  return found
}

const imports = files.flatMap(importsOf)
const show = (found: Import[]) => found.map(({ file, line, target }) => `${file}:${line} imports ${target}`)

/** The room a path lies in: a folder of src, or the file itself at the top. */
const room = (path: string) => (path.includes('/') ? path.split('/')[0] : path)

/** Which rooms each room may import from, besides its own and the shared words at the top of src. */
const MAY: Record<string, string[]> = {
  'cli.ts': ['commands'],
  commands: ['pipeline', 'engine', 'report', 'files', 'steps', 'outputs'],
  pipeline: ['steps', 'outputs', 'files', 'colour'],
  engine: ['steps', 'outputs', 'files', 'report', 'pipeline', 'colour', 'raster'],
  report: [],
  steps: ['colour', 'raster'],
  outputs: ['colour', 'raster'],
  files: ['raster', 'outputs', 'colour'],
  colour: ['raster'],
  raster: [],
}
const SHARED = ['errors.ts', 'units.ts', 'findings.ts', 'runRecord.ts']

describe('the rooms of src', () => {
  it('were found', () => {
    expect(files.length).toBeGreaterThan(60)
    expect(imports.length).toBeGreaterThan(150)
  })

  it('import only downwards', () => {
    const wrong = imports.filter(({ file, target }) => {
      if (!/\.(ts|mjs)$/.test(target) || SHARED.includes(target)) return false
      return room(file) !== room(target) && !(MAY[room(file)] ?? []).includes(room(target))
    })
    expect(show(wrong)).toEqual([])
  })

  it('share words that stand on nothing of the project but each other', () => {
    const wrong = imports.filter(
      ({ file, target }) => SHARED.includes(file) && /\.(ts|mjs)$/.test(target) && !SHARED.includes(target),
    )
    expect(show(wrong)).toEqual([])
  })

  it('keep one step, and one kind of output, from importing another', () => {
    const folderOf = (path: string) => /^(steps|outputs)\/([^/]+)\//.exec(path)
    const shared = new Set(['sheets', 'sharpening', 'shared'])
    const wrong = imports.filter(({ file, target }) => {
      const [from, to] = [folderOf(file), folderOf(target)]
      return from && to && from[2] !== to[2] && !shared.has(to[2])
    })
    expect(show(wrong)).toEqual([])
  })
})

describe('what touches the world', () => {
  const only = (pattern: RegExp, allowed: RegExp) =>
    show(
      imports.filter(
        ({ file, target, typeOnly }) => pattern.test(target) && !allowed.test(file) && !typeOnly,
      ),
    )

  it('is sharp and node:fs in files alone', () => {
    expect(
      only(/^(sharp|node:fs.*|pdf-lib|@pdf-lib\/.*)$/, /^(files\/|raster\/kernels\/build\.mjs)/),
    ).toEqual([])
  })

  it('is piscina in engine alone', () => {
    expect(only(/^(piscina|node:worker_threads)$/, /^engine\//)).toEqual([])
  })

  it('is nothing in the pure rooms', () => {
    const pure = /^(colour|raster|report|steps|outputs)\//
    const wrong = imports.filter(({ file, target }) => pure.test(file) && target.startsWith('node:'))
    expect(show(wrong.filter(({ file }) => !file.endsWith('build.mjs')))).toEqual([])
  })

  it('is `process` in cli.ts alone', () => {
    const users = files.filter(
      (file) =>
        file !== 'cli.ts' &&
        !file.endsWith('.mjs') &&
        /(?<![\w.'-])process\.\w/.test(readFileSync(join(SRC, file), 'utf8')),
    )
    expect(users).toEqual([])
  })
})
