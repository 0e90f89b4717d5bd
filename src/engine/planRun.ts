import type { MasterInfo, Plan } from '../outputs/contract.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { CaptureInfo } from '../steps/contract.js'

/** Everything about a run short of the pixels. */
export interface RunPlan {
  captures: (CaptureInfo & { profile: string; depth: number; bytes: number })[]
  steps: { name: string; summary: string }[]
  /** Sizes are estimates where `stitch` joins several captures: `estimated` says so. */
  master: MasterInfo & { estimated: boolean; bytes: number }
  outputs: { kind: string; name: string; plan: Plan }[]
  /** Rough: from the pixels to move. */
  seconds: number
  memoryBytes: number
  diskBytes: number
  warnings: { step: string; message: string }[]
}

/** Resolves a pipeline against its files' headers and plans every output. Touches no pixel. */
export async function planRun(_pipeline: Pipeline): Promise<RunPlan> {
  throw new Error('being written')
}
