import { basename, dirname, extname, join, resolve } from 'node:path'
import type { StripSubject } from '../engine/strip/StripSubject.js'
import { sharpeningStrip } from '../engine/strip/sharpeningStrip.js'
import { hueStrip, textureStrip } from '../engine/strip/stepStrip.js'
import { Interrupted, RequestError } from '../errors.js'
import { exists } from '../files/exists.js'
import { isFolder } from '../files/isFolder.js'
import { loadPipeline, type Pipeline } from '../pipeline/Pipeline.js'
import { nearest } from '../pipeline/text/nearest.js'
import { displayFor } from './display/displayFor.js'
import type { GlobalOptions, Terminal } from './Terminal.js'

export interface StripRequest {
  /** Path of the pipeline file, from the current folder. */
  pipeline: string
  of?: string
  /** The output whose sharpening is shown. */
  output?: string
  out?: string
  from?: string
  to?: string
  steps?: string
  set: readonly string[]
  overwrite: boolean
}

export const STRIP_OF = ['sharpening', 'texture', 'hue']

/**
 * `finetooth strip`: a labelled sheet of the same crops in small steps of one parameter.
 * @throws RequestError, WorkError or Interrupted
 */
export async function strip(
  request: StripRequest,
  options: GlobalOptions,
  terminal: Terminal,
): Promise<void> {
  const { currentFolder, signal } = terminal
  const of = subjectName(request)
  const pipeline = await loadPipeline(request.pipeline, { set: request.set, currentFolder })
  const subject = subjectOf(of, pipeline, request)
  const files = await stripFiles(pipeline, subject.name, request, currentFolder)
  const { runStrip } = await import('../engine/runStrip.js')
  if (signal.aborted) throw new Interrupted()
  const display = displayFor(options, terminal)
  try {
    const {
      content: { rows },
    } = await runStrip(pipeline, subject, {
      ...files,
      ...{ threads: options.threads, signal },
      onEvent: (event) => display.event(event),
    })
    if (options.json || options.quiet) return
    terminal.out.write('Look at it, choose a row, and copy its line into the pipeline:\n')
    for (const { line, notes } of rows) {
      terminal.out.write(`  ${line}${notes.length ? `   # ${notes.join(', ')}` : ''}\n`)
    }
  } finally {
    display.close()
  }
}

function subjectName({ of, output }: StripRequest): string {
  const expected = `one of ${STRIP_OF.join(', ')}`
  if (of === undefined) {
    throw new RequestError({ what: 'strip needs --of', expected, todo: 'See finetooth strip --help' })
  }
  if (!STRIP_OF.includes(of)) {
    const near = nearest(of, STRIP_OF)
    throw new RequestError({
      where: `--of ${of}`,
      what: 'there is no such strip',
      expected,
      todo: near && `Nearest spelling: ${near}`,
    })
  }
  if (output !== undefined && of !== 'sharpening') {
    throw new RequestError({
      where: `--output ${output}`,
      what: `a strip of ${of} shows the master and no output`,
      todo: 'Leave --output out, or ask for --of sharpening',
    })
  }
  return of
}

function subjectOf(of: string, pipeline: Pipeline, { output, ...request }: StripRequest): StripSubject {
  const asked = Object.fromEntries(
    (['from', 'to', 'steps'] as const).flatMap((key) => {
      const text = request[key]
      return text === undefined ? [] : [[key, numberOf(`--${key}`, text)]]
    }),
  )
  if (of === 'texture') return textureStrip(pipeline, asked)
  return of === 'hue' ? hueStrip(pipeline, asked) : sharpeningStrip(pipeline, output, asked)
}

function numberOf(where: string, text: string): number {
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (Number.isFinite(value)) return value
  throw new RequestError({ where, what: 'not a number', found: text })
}

/**
 * A file where `--out` ends in .png or .pdf; else both, in that folder or in `<pipeline name>-strips` beside the
 * pipeline file.
 */
async function stripFiles(
  pipeline: Pipeline,
  name: string,
  { out, overwrite }: StripRequest,
  currentFolder: string,
): Promise<{ png?: string; pdf?: string }> {
  const asked = out === undefined ? undefined : resolve(currentFolder, out)
  const ending = asked && !(await isFolder(asked)) ? extname(asked).toLowerCase() : ''
  if (!['', '.png', '.pdf'].includes(ending)) {
    throw new RequestError({
      where: `--out ${out}`,
      what: 'a strip is written as PNG or PDF',
      expected: 'a name that ends in .png or .pdf, or a folder for both',
    })
  }
  const stem = basename(pipeline.file, extname(pipeline.file))
  const folder = asked ?? join(dirname(pipeline.file), `${stem}-strips`)
  const files =
    ending === '.png'
      ? { png: asked }
      : ending === '.pdf'
        ? { pdf: asked }
        : { png: join(folder, `${name}.png`), pdf: join(folder, `${name}.pdf`) }
  for (const path of Object.values(files)) {
    if (path === undefined) continue
    if (pipeline.captures.files.some((capture) => capture.path === path) || path === pipeline.file) {
      throw new RequestError({
        where: path,
        what: 'a capture is never written to',
        todo: 'Choose another name',
      })
    }
    if (!overwrite && (await exists(path))) {
      throw new RequestError({
        where: path,
        what: 'the file exists',
        todo: 'Choose another place with --out, or replace it with --overwrite',
      })
    }
  }
  return files
}
