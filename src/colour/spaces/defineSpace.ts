import { adaptation } from '../adaptation.js'
import { decodeCurve, encodeCurve } from '../curves/ParametricCurve.js'
import { apply3, invert3, type Matrix3, multiply3, type Vector3 } from '../matrix3.js'
import { D50_XYZ, xyToXyz } from '../whites.js'
import type { Space, SpaceFacts } from './SpaceFacts.js'

/** A space with its matrices derived from primaries and white, so that no rounded table disagrees with another. */
export function defineSpace(facts: SpaceFacts): Space {
  const white = xyToXyz(facts.whiteXy)
  const toD50 = adaptation(white, D50_XYZ)
  const toXyzD50 = multiply3(toD50, nativeMatrix(facts.primariesXy, white))
  return {
    ...facts,
    decode: (encoded) => decodeCurve(facts.curve, encoded),
    encode: (linear) => encodeCurve(facts.curve, linear),
    toXyzD50,
    fromXyzD50: invert3(toXyzD50),
    adaptation: toD50,
  }
}

/**
 * From linear RGB to XYZ under the space's own white: the primaries' chromaticities, each scaled so that together they
 * make the white (SMPTE RP 177-1993, 3.3).
 */
export function nativeMatrix(primariesXy: SpaceFacts['primariesXy'], white: Readonly<Vector3>): Matrix3 {
  const [r, g, b] = primariesXy.map(xyToXyz)
  const columns = [r[0], g[0], b[0], r[1], g[1], b[1], r[2], g[2], b[2]]
  const scale = apply3(invert3(columns), white)
  return columns.map((value, i) => value * scale[i % 3])
}
