import { BANDS_NM } from '../spectra/bands.js'

/** The paints of the box, all invented; graphite is the pencil. */
export const PIGMENT_NAMES = [
  'yellow earth',
  'red earth',
  'red',
  'deep blue',
  'sky blue',
  'shadow grey',
  'graphite',
] as const
export type PigmentName = (typeof PIGMENT_NAMES)[number]

export interface Pigment {
  /** Optical density (natural logarithm) of one unit of paint at the bands. */
  density: Float64Array
  /** How strongly the paint settles in the paper's valleys: 0 stays even, 1 strongly. */
  granulates: number
}

/** A smooth step from 0 below to 1 above a wavelength. */
const above = (edgeNm: number, widthNm: number) => (nm: number) =>
  1 / (1 + Math.exp(-(nm - edgeNm) / widthNm))
const below = (edgeNm: number, widthNm: number) => (nm: number) => 1 - above(edgeNm, widthNm)(nm)
const around = (peakNm: number, widthNm: number) => (nm: number) =>
  Math.exp(-((nm - peakNm) ** 2) / (2 * widthNm * widthNm))

const CURVES: Record<PigmentName, [density: (nm: number) => number, granulates: number]> = {
  'yellow earth': [(nm) => 0.08 + 1.0 * below(520, 22)(nm) + 0.16 * below(580, 14)(nm), 0.25],
  'red earth': [(nm) => 0.2 + 1.0 * below(585, 22)(nm) + 0.15 * below(480, 30)(nm), 0.7],
  red: [(nm) => 0.04 + 1.25 * below(592, 9)(nm) - 0.3 * around(430, 40)(nm), 0.1],
  'deep blue': [(nm) => 0.07 + 1.15 * around(598, 62)(nm) + 0.22 * around(700, 40)(nm), 1],
  'sky blue': [(nm) => 0.06 + 1.1 * above(578, 18)(nm) + 0.12 * around(520, 30)(nm), 0.35],
  'shadow grey': [(nm) => 0.86 + 0.14 * around(600, 70)(nm), 0.8],
  graphite: [(nm) => 0.95 + 0.05 * below(520, 60)(nm), 0],
}

/** The paints in the order of a canvas's planes. */
export const PIGMENTS: readonly Pigment[] = PIGMENT_NAMES.map((name) => {
  const [density, granulates] = CURVES[name]
  return { density: Float64Array.from(BANDS_NM, density), granulates }
})

/** Reflectance of the bare sheet at the bands: warm, L* about 95. */
export const PAPER: Float64Array = Float64Array.from(
  BANDS_NM,
  (nm) => 0.895 - 0.085 * below(455, 28)(nm) - 0.012 * below(540, 30)(nm),
)

/** Share of light that the paint's surface throws back before it meets the pigment. */
export const SURFACE = 0.012
