import { dirname, relative } from 'node:path'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { Auxiliary } from '../steps/contract.js'
import { STEPS } from '../steps/registry.js'

/** A file a run reads besides its captures: as the step has it; `label` is its path from the pipeline file. */
export type LabelledAuxiliary = Auxiliary & {
  label: string
  /** The step and its key: `colour.chart`. */
  use: string
}

/** The boards, charts, references and saved readings of a pipeline, in its order. */
export function auxiliariesOf(pipeline: Pipeline): LabelledAuxiliary[] {
  return pipeline.steps.flatMap(({ name, params }) =>
    (STEPS.get(name)!.auxiliaries?.(params) ?? []).map((auxiliary) => ({
      ...auxiliary,
      label: labelOf(pipeline, auxiliary.path),
      use: `${name}.${auxiliary.key}`,
    })),
  )
}

/** A path as the record and the messages have it: from the pipeline file, with forward slashes. */
export function labelOf(pipeline: Pipeline, path: string): string {
  return (
    pipeline.captures.files.find((file) => file.path === path)?.label ??
    relative(dirname(pipeline.file), path).replaceAll('\\', '/')
  )
}
