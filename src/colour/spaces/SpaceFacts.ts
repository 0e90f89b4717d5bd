import type { ParametricCurve } from '../curves/ParametricCurve.js'
import type { Matrix3 } from '../matrix3.js'
import type { SpaceName } from './SpaceName.js'

type Xy = readonly [number, number]

/** What a standard says of an RGB space. */
export interface SpaceFacts {
  name: SpaceName
  /** The standard it is taken from. */
  standard: string
  /** CIE 1931 chromaticities of red, green, blue. */
  primariesXy: readonly [Xy, Xy, Xy]
  whiteXy: Xy
  curve: ParametricCurve
}

/** A standard RGB space with what follows from its facts. */
export interface Space extends SpaceFacts {
  /** Linear value of an encoded one, 0..1; mirrored about 0 for negative ones. */
  decode(encoded: number): number
  /** The inverse of `decode`. */
  encode(linear: number): number
  /** From linear RGB to XYZ under the ICC connection space's D50; RGB 1, 1, 1 is that white. */
  toXyzD50: Matrix3
  fromXyzD50: Matrix3
  /** From XYZ under the space's own white to XYZ under D50 (linear Bradford). */
  adaptation: Matrix3
}
