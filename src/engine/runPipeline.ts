import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunRecord } from '../runRecord.js'
import type { RunEvent } from './RunEvent.js'

export interface RunOptions {
  /** Absolute path of the output folder. */
  outFolder: string
  overwrite: boolean
  threads?: number
  signal: AbortSignal
  onEvent(event: RunEvent): void
}

/**
 * Runs a resolved pipeline to the end: readings in order, one pass of tiles to the master, derivatives, report, record.
 * @throws RequestError, WorkError or Interrupted; then nothing is left in the output folder that was not there before
 */
export async function runPipeline(_pipeline: Pipeline, _options: RunOptions): Promise<RunRecord> {
  throw new Error('being written')
}
