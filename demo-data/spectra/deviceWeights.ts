import { ILLUMINANT_D50 } from '../../src/colour/charts/spectral/illuminantD50.js'
import { OBSERVER_1931 } from '../../src/colour/charts/spectral/observer1931.js'
import { D50_XYZ } from '../../src/colour/whites.js'
import { XYZ_D50_TO_WORKING } from '../../src/colour/working.js'
import { bandWeights } from './bands.js'
import { ILLUMINANT_LED_B4 } from './illuminantLed.js'

/** Who looks at the painting: the standard observer under D50, or a device under its own lamp. */
export type Observer = 'truth' | 'scanner' | 'camera'

/** Three weights a band: linear RGB of a reflectance spectrum; 1, 1, 1 is the perfect diffuser. */
export type BandsToRgb = [Float64Array, Float64Array, Float64Array]

/**
 * How a reflectance spectrum becomes three linear numbers.
 *
 * `truth`: CIE 1931 observer and D50, in the working space, relative to the perfect diffuser. `scanner` and `camera` are
 * invented: bell-shaped sensitivities that no matrix turns into the observer's exactly, under a white LED and under D50.
 */
export function deviceWeights(observer: Observer): BandsToRgb {
  if (observer === 'truth') return truth()
  const [lamp, curves] = observer === 'scanner' ? [ILLUMINANT_LED_B4, SCANNER] : [ILLUMINANT_D50, CAMERA]
  return curves.map((lobes) => bandWeights(lamp, sensitivity(lobes))) as BandsToRgb
}

function truth(): BandsToRgb {
  const { x, y, z } = OBSERVER_1931
  const xyz = [x, y, z].map((curve, i) => bandWeights(ILLUMINANT_D50, curve, D50_XYZ[i]))
  const m = XYZ_D50_TO_WORKING
  return [0, 3, 6].map((row) =>
    xyz[0].map((w, band) => m[row] * w + m[row + 1] * xyz[1][band] + m[row + 2] * xyz[2][band]),
  ) as BandsToRgb
}

/** Peak, width (standard deviation) in nm, and height of the bells that make a channel. */
type Lobe = [peakNm: number, widthNm: number, height: number]

const SCANNER: Lobe[][] = [
  [
    [600, 34, 1],
    [460, 22, 0.04],
  ],
  [[538, 38, 1]],
  [
    [456, 28, 1],
    [540, 30, 0.05],
  ],
]
const CAMERA: Lobe[][] = [
  [
    [597, 36, 1],
    [450, 25, 0.06],
    [540, 30, 0.12],
  ],
  [
    [532, 42, 1],
    [620, 30, 0.1],
  ],
  [
    [462, 30, 1],
    [530, 30, 0.08],
  ],
]

const sensitivity = (lobes: Lobe[]) =>
  ILLUMINANT_D50.map((_, i) =>
    lobes.reduce(
      (sum, [peak, width, height]) =>
        sum + height * Math.exp(-((380 + 5 * i - peak) ** 2) / (2 * width * width)),
      0,
    ),
  )
