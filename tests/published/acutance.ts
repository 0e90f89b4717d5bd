/**
 * Contrast sensitivity of IEEE 1858 (CPIQ), a v^c exp(-b v) / K with a = 75, b = 0.2, c = 0.8, K = 34.05; coefficients
 * in D. Baxter, F. Cao, H. Eliasson, J. Phillips, "Development of the I3A CPIQ spatial metrics", Proc. SPIE 8293, 2012,
 * doi:10.1117/12.905752, and ISET/isetcam, metrics/cpiq/cpiqCSF.m. The samples are worked from that formula elsewhere
 * (not published): a cross-check, not an authority.
 */
export const CSF_SAMPLES: [cpd: number, sensitivity: number][] = [
  [0.5, 1.144697],
  [1, 1.803372],
  [4, 3.000244],
  [10, 1.880854],
  [20, 0.44319],
  [40, 0.014133],
  [60, 0.000358],
]

/** Acutance over 0 to 60 cycles a degree, worked from the same formula with other code. */
export const ACUTANCE_SAMPLES: { name: string; mtf: (cpd: number) => number; acutance: number }[] = [
  // ISET/isetcam, metrics/ISO/ISOAcutance.m: everything passed is acutance 1.
  { name: 'everything passed', mtf: () => 1, acutance: 1 },
  { name: 'Gaussian, half at 10 cpd', mtf: (v) => 2 ** -((v / 10) ** 2), acutance: 0.6094 },
  { name: 'Gaussian, half at 20 cpd', mtf: (v) => 2 ** -((v / 20) ** 2), acutance: 0.838671 },
  { name: 'Gaussian, half at 30 cpd', mtf: (v) => 2 ** -((v / 30) ** 2), acutance: 0.916759 },
  { name: 'linear to zero at 30 cpd', mtf: (v) => Math.max(0, 1 - v / 30), acutance: 0.702372 },
]
