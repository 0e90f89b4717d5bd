import type { SpaceName } from '../../src/colour/spaces/SpaceName.js'

interface PublishedMatrices {
  /** Linear RGB to XYZ under the space's own white, as the standard prints it. */
  printed?: readonly number[]
  /** Half a unit of its last digit. */
  printedTolerance?: number
  /** The same to many digits. */
  precise: readonly number[]
  /** Linear RGB to XYZ under D50, as widely used profiles have it. */
  inProfiles?: readonly number[]
}

/**
 * Matrices of the standard spaces, row by row. Printed and precise ones: IEC 61966-2-1:1999, ISO 22028-2 and the data
 * files of colour-science (revision 9d74314, BSD-3-Clause) and colorjs.io (src/spaces, revision e9d9fa8, MIT). In
 * profiles: Skia, SkColorSpace.h and its sRGB profile (BSD-3-Clause).
 */
// biome-ignore format: three numbers a line
export const PUBLISHED_MATRICES: Record<SpaceName, PublishedMatrices> = {
  sRGB: {
    printed: [
      0.4124, 0.3576, 0.1805,
      0.2126, 0.7152, 0.0722,
      0.0193, 0.1192, 0.9505,
    ],
    printedTolerance: 0.5e-4,
    precise: [
      0.41239079926595934, 0.357584339383878, 0.1804807884018343,
      0.21263900587151027, 0.715168678767756, 0.07219231536073371,
      0.01933081871559182, 0.11919477979462598, 0.9505321522496607,
    ],
    inProfiles: [
      0.436065674, 0.385147095, 0.143066406,
      0.222488403, 0.716873169, 0.06060791,
      0.013916016, 0.097076416, 0.714096069,
    ],
  },
  'Display P3': {
    precise: [
      0.4865709486482162, 0.26566769316909306, 0.1982172852343625,
      0.2289745640697488, 0.6917385218365064, 0.079286914093745,
      0, 0.04511338185890264, 1.043944368900976,
    ],
    inProfiles: [
      0.515102, 0.291965, 0.157153,
      0.241182, 0.692236, 0.0665819,
      -0.00104941, 0.0418818, 0.784378,
    ],
  },
  opRGB: {
    printed: [
      0.57667, 0.18556, 0.18823,
      0.29734, 0.62736, 0.07529,
      0.02703, 0.07069, 0.99134,
    ],
    printedTolerance: 0.5e-5,
    precise: [
      0.5766690429101305, 0.1855582379065463, 0.1882286462349947,
      0.29734497525053605, 0.6273635662554661, 0.07529145849399788,
      0.02703136138641234, 0.07068885253582723, 0.9913375368376388,
    ],
    inProfiles: [
      0.60974, 0.20528, 0.14919,
      0.31111, 0.62567, 0.06322,
      0.01947, 0.06087, 0.74457,
    ],
  },
  'ROMM RGB': {
    printed: [
      0.7977, 0.1352, 0.0313,
      0.288, 0.7119, 0.0001,
      0, 0, 0.8249,
    ],
    printedTolerance: 0.5e-4,
    precise: [
      0.7977666449006423, 0.13518129740053308, 0.0313477341283922,
      0.2880748288194013, 0.711835234241873, 8.993693872564e-05,
      0, 0, 0.8251046025104602,
    ],
  },
}

/**
 * From XYZ under D65 to XYZ under the ICC connection space's white.
 * Source: color.org, page on the chromaticAdaptationTag, quoted in SerenityOS, LibGfx/ICC/WellKnownProfiles.cpp.
 */
// biome-ignore format: three numbers a line
export const D65_TO_D50 = [
  1.047882, 0.022918, -0.050217,
  0.029586, 0.990478, -0.017075,
  -0.009247, 0.015075, 0.751678,
]
