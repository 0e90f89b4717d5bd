import type { Placement } from '../../Placement.js'

/** How captures of one device may lie: numbers each capture has of its own, and numbers all share. */
export interface Model {
  /** The captures' own numbers: how far each is from 0 by what is known beforehand (a standard deviation); undefined: anywhere. */
  ownSigmas: readonly (number | undefined)[]
  /** Which of them are held for one capture, so that the sheet as a whole cannot move. */
  held: readonly boolean[]
  /** A step of each for taking differences. */
  ownSteps: readonly number[]
  /** The shared numbers: what they are by what is known beforehand, and how surely. */
  shared: readonly number[]
  sharedSigmas: readonly number[]
  sharedSteps: readonly number[]
  /** A capture's own numbers for a placement that is near enough. */
  ownOf(placement: Placement): number[]
  place(own: readonly number[], shared: readonly number[]): Placement
}
