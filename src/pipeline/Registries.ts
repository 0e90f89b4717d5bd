import type { Output } from '../outputs/contract.js'
import type { Step } from '../steps/contract.js'

/** The steps and outputs a pipeline may name. */
export interface Registries {
  steps: ReadonlyMap<string, Step>
  outputs: ReadonlyMap<string, Output>
}
