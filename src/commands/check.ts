import type { planRun, RunPlan } from '../engine/planRun.js'
import { loadPipeline } from '../pipeline/Pipeline.js'
import { planLines } from './display/planLines.js'
import { outFolder } from './outFolder.js'
import type { GlobalOptions, Terminal } from './Terminal.js'

export interface CheckRequest {
  /** Path of the pipeline file, from the current folder. */
  pipeline: string
  out?: string
  set: readonly string[]
}

/**
 * `finetooth check`: everything of a run short of the pixels.
 * @param planner what plans a pipeline; loaded only now, since it brings the decoders with it
 * @throws RequestError
 */
export async function check(
  request: CheckRequest,
  options: GlobalOptions,
  terminal: Terminal,
  planner?: typeof planRun,
): Promise<void> {
  const pipeline = await loadPipeline(request.pipeline, {
    set: request.set,
    currentFolder: terminal.currentFolder,
  })
  planner ??= (await import('../engine/planRun.js')).planRun
  const plan = await planner(pipeline, options.threads)
  const folder = outFolder(pipeline.file, request.out, terminal.currentFolder)
  if (options.json) {
    const object = { event: 'plan', pipeline: pipeline.file, folder, ...planObject(plan) }
    terminal.out.write(`${JSON.stringify(object)}\n`)
    return
  }
  if (!options.quiet) {
    for (const line of planLines(pipeline, plan, folder)) terminal.out.write(`${line}\n`)
  }
  for (const { step, message } of plan.warnings) terminal.err.write(`warning: ${step}: ${message}\n`)
}

/** The plan without pictures and plots, which are the report's. */
function planObject(plan: RunPlan) {
  const outputs = plan.outputs.map(({ kind, name, plan: { files, documents, ticket, findings } }) => ({
    kind,
    name,
    files: [...files, ...(documents ?? [])],
    ticket,
    findings: findings.filter(({ kind: sort }) => ['number', 'statement', 'warning'].includes(sort)),
  }))
  return { ...plan, outputs }
}
