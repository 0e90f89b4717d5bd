/**
 * What a pair of opposite lightings says of its finest detail: numbers for each coefficient of the cosine transform of 8 x 8
 * pixels (as `cosineWindows` lays them out), of square roots of light. Plain JSON.
 */
export interface FineDetail {
  /** How the sheet lay for the first of the two. */
  turned: 0 | 90 | 180 | 270
  /** Variance of the square root of the pair's mean light: readout / light + photon. */
  readout: number
  photon: number
  /** The noise's share in each coefficient, 1 in the mean. */
  noise: number[]
  /** Share of luminance's noise that is taken for noise. */
  luminanceShare: number
  /** Power of slopes in half the pair's difference, for light 1. */
  slopes: number[]
  /** Power of what the two show differently of the picture, as a share of the picture's. */
  differing: number[]
  /** How surely it is the first that shows more: -1 (it is the second) to 1. */
  sharper: number[]
}

/** The window's side and its number of coefficients. */
export const FINE_PX = 8
export const FINE_COUNT = 64
