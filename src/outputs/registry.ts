import { card } from './card/card.js'
import type { Output } from './contract.js'
import { print } from './print/print.js'
import { profile } from './profile/profile.js'

/** Every kind of output. Adding one: its folder, its tests' folder, one line here. */
export const OUTPUTS: ReadonlyMap<string, Output> = new Map<string, Output>([
  [print.kind, print as Output],
  [card.kind, card as Output],
  [profile.kind, profile as Output],
])
