import { basename, join, relative, resolve } from 'node:path'
import { RequestError } from '../errors.js'
import { exists } from '../files/exists.js'
import { expandGlob } from '../files/expandGlob.js'
import { isFolder } from '../files/isFolder.js'
import { readText } from '../files/readText.js'
import { writeText } from '../files/writeText.js'
import { packageFolder } from '../pipeline/packageFolder.js'
import { nearest } from '../pipeline/text/nearest.js'
import type { GlobalOptions, Terminal } from './Terminal.js'

export const DEFAULT_READY_MADE = 'flatbed-single'

export interface NewRequest {
  /** The folder to make, from the current folder. */
  folder: string
  /** A ready-made pipeline's name. */
  from: string
}

/**
 * `finetooth new`: a folder with a commented pipeline file, the schema for editors, and a place for the captures.
 * @throws RequestError where the folder holds something already, or there is no such ready-made pipeline
 */
export async function makeNew(
  request: NewRequest,
  options: GlobalOptions,
  terminal: Terminal,
): Promise<void> {
  const ready = join(await packageFolder({ exists }), 'pipelines')
  const from = request.from.replace(/\.ya?ml$/, '')
  const names = await readyMade()
  if (!names.includes(from)) {
    const near = nearest(from, names)
    throw new RequestError({
      where: `--from ${request.from}`,
      what: 'there is no such ready-made pipeline',
      expected: `one of ${names.join(', ')}`,
      todo: near && `Nearest spelling: ${near}`,
    })
  }
  const folder = resolve(terminal.currentFolder, request.folder)
  if ((await exists(folder)) && (!(await isFolder(folder)) || (await holdsFiles(folder)))) {
    throw new RequestError({
      where: request.folder,
      what: (await isFolder(folder)) ? 'the folder is not empty' : 'this is a file',
      expected: 'an empty folder, or a name that is still free',
      todo: 'Choose another name',
    })
  }
  const title = JSON.stringify(basename(folder))
  const text = (await readText(join(ready, `${from}.yaml`))).replace(/^title: .*$/m, () => `title: ${title}`)
  const files = {
    'pipeline.yaml': text,
    'pipeline.schema.json': await readText(join(ready, 'pipeline.schema.json')),
    'captures/README.txt': capturesNote(text),
  }
  for (const [name, content] of Object.entries(files)) await writeText(join(folder, name), content)
  if (options.json) {
    const object = { event: 'created', folder, files: Object.keys(files) }
    terminal.out.write(`${JSON.stringify(object)}\n`)
  } else if (!options.quiet) {
    const file = join(relative(terminal.currentFolder, folder) || '.', 'pipeline.yaml')
    const shown = file.startsWith('..') ? join(folder, 'pipeline.yaml') : file
    terminal.out.write(
      `${Object.keys(files)
        .map((name) => `  ${join(request.folder, name)}\n`)
        .join('')}`,
    )
    terminal.out.write('Put your captures into the captures folder, look through the pipeline file, then:\n')
    terminal.out.write(`  finetooth check ${/[\s'"$&]/.test(shown) ? JSON.stringify(shown) : shown}\n`)
  }
}

/** Names of the ready-made pipelines. */
export async function readyMade(): Promise<string[]> {
  const files = await expandGlob(join(await packageFolder({ exists }), 'pipelines'), '*.yaml')
  return files.map((file) => basename(file, '.yaml'))
}

/** Two levels are looked at, hidden files too: enough to tell a folder in use, without walking through a whole disk. */
async function holdsFiles(folder: string): Promise<boolean> {
  const found = await Promise.all(['*', '.*', '*/*', '*/.*'].map((pattern) => expandGlob(folder, pattern)))
  return found.flat().length > 0
}

/** Says which files the pipeline expects here, with the comment that stands beside each in the pipeline. */
function capturesNote(pipeline: string): string {
  const lines = pipeline.matchAll(/^(?!\s*#).*?captures\/([\w.*-]+)[^#\n]*(?:#\s*(.*))?$/gm)
  const wanted = [...lines].map(([, name, comment]) => `  ${name}${comment ? `   ${comment}` : ''}`)
  return [
    'Put the captures here, as the scanner or the camera wrote them. They are never changed.',
    '',
    'The pipeline file beside this folder asks for:',
    ...wanted,
    '',
  ].join('\n')
}
