/** The wavelengths at which the painter knows reflectance: 400, 420, ... 700 nm; straight lines between, level beyond. */
export const BANDS_NM: readonly number[] = Array.from({ length: 16 }, (_, i) => 400 + 20 * i)

/** First wavelength and step of the tables of lamps and observers. */
const TABLE_FROM_NM = 380
const TABLE_STEP_NM = 5

/**
 * Weights w so that the sum of w times reflectance at the bands is the integral of power times sensitivity times reflectance.
 * @param power relative spectral power, 380 to 780 nm in steps of 5 nm
 * @param sensitivity at the same wavelengths
 * @returns one weight a band; their sum is scaled to `white`, the answer to a perfect diffuser
 */
export function bandWeights(
  power: readonly number[],
  sensitivity: readonly number[],
  white = 1,
): Float64Array {
  const weights = new Float64Array(BANDS_NM.length)
  let sum = 0
  power.forEach((p, i) => {
    const value = p * sensitivity[i]
    const place = Math.min(
      Math.max((TABLE_FROM_NM + TABLE_STEP_NM * i - BANDS_NM[0]) / 20, 0),
      BANDS_NM.length - 1,
    )
    const low = Math.min(Math.floor(place), BANDS_NM.length - 2)
    weights[low] += value * (1 - (place - low))
    weights[low + 1] += value * (place - low)
    sum += value
  })
  return weights.map((w) => (w * white) / sum)
}
