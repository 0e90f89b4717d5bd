/** Frequency beyond which the eye's sensitivity is nothing, in cycles a degree: the integrals end here. */
const HIGHEST_CPD = 60
const STEP_CPD = 0.1

/**
 * The eye's luminance contrast sensitivity, peak about 3.
 * Source: IEEE 1858 (CPIQ): CSF(v) = a v^c exp(-b v) / K, a = 75, b = 0.2, c = 0.8, K = 34.05; D. Baxter, F. Cao,
 * H. Eliasson, J. Phillips, "Development of the I3A CPIQ spatial metrics", Proc. SPIE 8293, 2012,
 * doi:10.1117/12.905752.
 * @param cpd cycles a degree, >= 0
 */
export function contrastSensitivity(cpd: number): number {
  return (75 * cpd ** 0.8 * Math.exp(-0.2 * cpd)) / 34.05
}

/**
 * Sharpness as seen: the modulation transfer weighted by the eye's contrast sensitivity; 1 where everything is passed.
 * A = integral MTF(v) CSF(v) dv / integral CSF(v) dv (IEEE 1858, CPIQ), from 0 to 60 cycles a degree.
 * @param mtf modulation transfer at a frequency in cycles a degree
 */
export function acutance(mtf: (cpd: number) => number): number {
  let seen = 0
  let all = 0
  for (let cpd = STEP_CPD / 2; cpd < HIGHEST_CPD; cpd += STEP_CPD) {
    const sensitivity = contrastSensitivity(cpd)
    seen += mtf(cpd) * sensitivity
    all += sensitivity
  }
  return seen / all
}
