import type { Output } from './contract.js'

/** Every kind of output. Adding one: its folder, its tests' folder, one line here. */
export const OUTPUTS: ReadonlyMap<string, Output> = new Map<string, Output>()
