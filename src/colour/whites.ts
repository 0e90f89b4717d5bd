import type { Vector3 } from './matrix3.js'

/**
 * White of the ICC profile connection space, the one D50 used throughout.
 * Source: ICC.1:2022, 7.2.16. The chromaticity (0.3457, 0.3585) of the same illuminant gives 0.96430, 1, 0.82510;
 * mixing the two moves white by 0.02 in a* and b*.
 */
export const D50_XYZ: Readonly<Vector3> = [0.9642, 1, 0.8249]

/** Tristimulus values of a chromaticity, Y = 1. */
export function xyToXyz([x, y]: readonly [number, number]): Vector3 {
  return [x / y, 1, (1 - x - y) / y]
}
