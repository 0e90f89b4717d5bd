import { D50_XYZ } from '../../whites.js'
import { ILLUMINANT_D50 } from './illuminantD50.js'
import { OBSERVER_1931 } from './observer1931.js'

/** The range and step of the tables. */
const FROM_NM = 380
const STEP_NM = 5

/**
 * XYZ under D50 of a reflectance for the CIE 1931 observer, summed at 5 nm (CIE 15:2018, 7.1), with the white set to
 * the ICC's D50 so that a perfect diffuser has a* = b* = 0 exactly.
 * @param wavelengthsNm ascending
 * @param reflectance 0..1, one a wavelength; linear in between, the end values beyond the ends
 * @returns Y = 1 for the perfect diffuser
 */
export function spectrumToXyzD50(
  wavelengthsNm: readonly number[],
  reflectance: readonly number[],
): [number, number, number] {
  const curves = [OBSERVER_1931.x, OBSERVER_1931.y, OBSERVER_1931.z]
  const sums = [0, 0, 0]
  const whites = [0, 0, 0]
  let at = 0
  ILLUMINANT_D50.forEach((power, i) => {
    const nm = FROM_NM + STEP_NM * i
    while (at < wavelengthsNm.length - 2 && wavelengthsNm[at + 1] < nm) at++
    const share = (nm - wavelengthsNm[at]) / (wavelengthsNm[at + 1] - wavelengthsNm[at])
    const held = Math.min(1, Math.max(0, share))
    const value = reflectance[at] + (reflectance[at + 1] - reflectance[at]) * held
    curves.forEach((curve, c) => {
      sums[c] += power * curve[i] * value
      whites[c] += power * curve[i]
    })
  })
  return sums.map((sum, c) => (sum / whites[c]) * D50_XYZ[c]) as [number, number, number]
}
