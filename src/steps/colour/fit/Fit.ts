/** The rungs of the ladder of fits, simplest first. */
export const RUNGS = ['gains', 'matrix', 'root-polynomial', 'root-polynomial-3'] as const
export type Rung = (typeof RUNGS)[number]

/** A colour correction: `coefficients` (3 rows of one coefficient a term) times the terms of a linear colour. */
export interface Fit {
  rung: Rung
  /** Row-major, 3 x number of terms. */
  coefficients: number[]
}

export type Triple = [number, number, number]
