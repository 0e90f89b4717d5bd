/** The rungs of the ladder of fits, simplest first; `none` changes nothing, `smooth` needs many patches. */
export const RUNGS = ['none', 'gains', 'matrix', 'root-polynomial', 'root-polynomial-3', 'smooth'] as const
export type Rung = (typeof RUNGS)[number]

export type Triple = [number, number, number]

/** How one of the device's channels runs with the light; see toLight.ts. */
export interface ChannelTone {
  /** Stray light over everything, as a share of what white gives; less than 1. */
  flare: number
  /** Two numbers that bend the curve; both 0 where it is straight. */
  bend: [number, number]
}

/**
 * A colour correction. A colour of the working space becomes the device's channels, white at 1 in each; these become
 * light by their tone; `coefficients` (3 rows of one coefficient a term) times the terms of that light is the corrected
 * colour in the working space.
 */
export interface Fit {
  rung: Rung
  /** Row-major 3x3: from the working space, as captured, to the device's channels as shares of white's. */
  channels: number[]
  tone: [ChannelTone, ChannelTone, ChannelTone]
  /** Row-major, 3 x number of terms. */
  coefficients: number[]
  /** What is added besides, at the rung `smooth`. */
  field?: Field
}

/**
 * A smooth field over the first and second channel's shares of the channels' sum (light below none counts as none):
 * three numbers a node of a square grid, rows of the second share, which times the sum are added to the corrected colour.
 */
export interface Field {
  size: number
  nodes: number[]
}

/** A tone that changes nothing. */
export const STRAIGHT: ChannelTone = { flare: 0, bend: [0, 0] }
