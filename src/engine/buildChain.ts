import { captureSource } from '../colour/captureSource.js'
import type { Source } from '../raster/Source.js'
import { STEPS } from '../steps/registry.js'
import type { Chain } from './Chain.js'

/**
 * The sources at the end of a chain: one for each capture until a step joins them.
 * @throws Error where a stage names no registered step
 */
export function buildChain({ captures, stages }: Chain): readonly Source[] {
  const start: readonly Source[] = captures.map(({ raster, transform }) => captureSource(raster, transform))
  return stages.reduce((sources, { name, params, reading }) => {
    const step = STEPS.get(name)
    if (!step) throw new Error(`no step is called ${name}`)
    return step.apply(sources, reading, params)
  }, start)
}
