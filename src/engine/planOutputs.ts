import { RequestError } from '../errors.js'
import type { Beside, MasterInfo, Output, Plan } from '../outputs/contract.js'
import { OUTPUTS } from '../outputs/registry.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { allProblems } from './allProblems.js'
import { besideOf } from './besideOf.js'

export interface PlannedOutput {
  kind: string
  name: string
  params: unknown
  output: Output
  plan: Plan
  beside: Beside
}

/**
 * Sizes and decisions of everything that will be made from a master.
 * @throws RequestError for everything that cannot be made, each with its place in the pipeline file
 */
export async function planOutputs(pipeline: Pipeline, master: MasterInfo): Promise<PlannedOutput[]> {
  const beside = await besideOf(pipeline)
  return allProblems(pipeline.outputs, ({ kind, name, params }, i) => {
    const output = OUTPUTS.get(kind)!
    try {
      return { kind, name, params, output, plan: output.plan(params, master, beside), beside }
    } catch (error) {
      if (!(error instanceof RequestError)) throw error
      const where = pipeline.keyAt(`outputs.${i}.${kind}`)
      throw new RequestError(
        error.problems.map((problem) => ({ where, ...problem })),
        { cause: error },
      )
    }
  })
}
