/** Differences smaller than this are as good as none (logarithms of light, squared). */
const LEAST_RESIDUAL = 1e-7
/**
 * Under another lamp direction the luminance's slopes are the relief's as much as the paint's: it counts this share of
 * what its residual alone would give it, so that colour decides where there is any.
 */
const LIGHT_SHARE = 0.1

/**
 * Weights of the three structure planes: the less of a plane differs, the more it counts.
 * @param residuals mean square difference of each plane, luminance first
 * @param sameLight whether both captures lay the same way under the lamp
 */
export function planeWeights(residuals: readonly number[], sameLight: boolean): number[] {
  return residuals.map(
    (residual, k) => (k === 0 && !sameLight ? LIGHT_SHARE : 1) / (residual + LEAST_RESIDUAL),
  )
}
