import type { Step } from './contract.js'

/** Every step by name. Adding a step: its folder, its tests' folder, one line here. */
export const STEPS: ReadonlyMap<string, Step> = new Map<string, Step>()
