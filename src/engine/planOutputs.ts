import type { MasterInfo, Output, Plan } from '../outputs/contract.js'
import { OUTPUTS } from '../outputs/registry.js'
import type { Pipeline } from '../pipeline/Pipeline.js'

export interface PlannedOutput {
  kind: string
  name: string
  params: unknown
  output: Output
  plan: Plan
}

/**
 * Sizes and decisions of everything that will be made from a master.
 * @throws RequestError for what cannot be made
 */
export function planOutputs(pipeline: Pipeline, master: MasterInfo): PlannedOutput[] {
  return pipeline.outputs.map(({ kind, name, params }) => {
    const output = OUTPUTS.get(kind)!
    return { kind, name, params, output, plan: output.plan(params, master) }
  })
}
