import { solveLinear } from '../shared/solveLinear.js'
import { autocovariance } from './autocovariance.js'

/** Pixels next to the edge that the relief beyond is foretold from, and how far it is. */
export const CONTINUED_FROM = 6
export const CONTINUED_TO = 32
/** Share of the relief's variance that its nearest neighbours tell nothing of. */
const OWN = 0.02

/**
 * Weights that foretell the relief beyond an edge: `CONTINUED_TO` rows of `CONTINUED_FROM`, nearest pixel first, for
 * edges left and right, and for edges above and below.
 */
export interface Continuation {
  across: Float32Array
  down: Float32Array
}

/**
 * How a relief goes on beyond the picture's edge, as far as the pixels inside tell: the best linear prediction of a
 * stationary process from its autocovariance (Wiener-Hopf equations; Wiener 1949, Yule 1927). A mirrored relief would have
 * a kink at the edge that no spectrum of it holds, and would be taken for picture.
 * @param relief `64 * 64` powers over log2 luminance
 */
export function continuation(relief: Float32Array): Continuation {
  const covariance = autocovariance(relief, 64)
  return {
    across: weights((lag) => covariance(0, lag)),
    down: weights((lag) => covariance(lag, 0)),
  }
}

function weights(covariance: (lag: number) => number): Float32Array {
  // The longest lags are least known, and prediction needs a covariance that dies away.
  const at = (lag: number) =>
    lag > CONTINUED_TO ? 0 : covariance(lag) * Math.cos((Math.PI * lag) / (2 * CONTINUED_TO + 2)) ** 2
  const inside = Array.from({ length: CONTINUED_FROM ** 2 }, (_, k) => {
    const [i, j] = [Math.floor(k / CONTINUED_FROM), k % CONTINUED_FROM]
    return at(Math.abs(i - j)) + (i === j ? OWN * at(0) : 0)
  })
  // One right-hand side a pixel beyond: its covariance with the pixels inside.
  const beyond = Array.from({ length: CONTINUED_FROM * CONTINUED_TO }, (_, k) =>
    at(Math.floor(k / CONTINUED_TO) + (k % CONTINUED_TO) + 1),
  )
  const solved = solveLinear(inside, beyond, CONTINUED_TO)
  const out = new Float32Array(CONTINUED_FROM * CONTINUED_TO)
  if (!solved) return out
  for (let o = 0; o < CONTINUED_TO; o++) {
    for (let i = 0; i < CONTINUED_FROM; i++) out[o * CONTINUED_FROM + i] = solved[i * CONTINUED_TO + o]
  }
  return out
}
