import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunLog } from './RunLog.js'

/** More than this share of the master's samples above white is said, where no step means it so. */
const ABOVE_WHITE_SHARE = 0.005

/** Says how much of the master was lighter than white. */
export function noteWhite(log: RunLog, pipeline: Pipeline, share: number): void {
  log.findings('master', [{ kind: 'number', name: 'samples above white', value: share * 100, unit: '%' }])
  // Paper brought to white leaves its own highlights above it; that is what the step is for.
  if (share > ABOVE_WHITE_SHARE && !pipeline.steps.some(({ name }) => name === 'paper-white')) {
    log.warn(
      'master',
      `${(share * 100).toFixed(2)} % of the samples are lighter than white and were cut off: the capture or the correction is too light`,
    )
  }
}
