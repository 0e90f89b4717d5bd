import type { runPipeline } from '../engine/runPipeline.js'
import { Interrupted } from '../errors.js'
import { loadPipeline } from '../pipeline/Pipeline.js'
import { displayFor } from './display/displayFor.js'
import { outFolder } from './outFolder.js'
import type { GlobalOptions, Terminal } from './Terminal.js'

export interface RunRequest {
  /** Path of the pipeline file, from the current folder. */
  pipeline: string
  out?: string
  set: readonly string[]
  overwrite: boolean
}

/**
 * `finetooth run`: the main job.
 * @param engine what runs a pipeline; loaded only now, since it brings the decoders with it
 * @throws RequestError, WorkError or Interrupted
 */
export async function run(
  request: RunRequest,
  options: GlobalOptions,
  terminal: Terminal,
  engine?: typeof runPipeline,
): Promise<void> {
  const { currentFolder, signal } = terminal
  const pipeline = await loadPipeline(request.pipeline, { set: request.set, currentFolder })
  engine ??= (await import('../engine/runPipeline.js')).runPipeline
  if (signal.aborted) throw new Interrupted()
  const display = displayFor(options, terminal)
  try {
    await engine(pipeline, {
      outFolder: outFolder(pipeline.file, request.out, currentFolder),
      overwrite: request.overwrite,
      threads: options.threads,
      signal,
      onEvent: (event) => {
        display.event(event)
        if (event.event === 'done' && !options.json && !options.quiet) {
          terminal.out.write(`${event.report ? `Look at ${event.report}` : `See ${event.folder}`}\n`)
        }
      },
    })
  } finally {
    display.close()
  }
}
