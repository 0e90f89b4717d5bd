import type { Pipeline } from '../pipeline/Pipeline.js'
import { STEPS } from '../steps/registry.js'

/** Whether a step of the pipeline measures the captures' colour. */
export function measuresColour({ steps }: Pick<Pipeline, 'steps'>): boolean {
  return steps.some(({ name, params }) => STEPS.get(name)?.measuresDevice?.(params))
}
