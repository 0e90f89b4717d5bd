import { adaptation } from './adaptation.js'
import { apply3, invert3, type Matrix3, multiply3, type Vector3 } from './matrix3.js'
import { D65_XY } from './spaces/srgb.js'
import { D50_XYZ, xyToXyz } from './whites.js'
import { WORKING_TO_XYZ_D50 } from './working.js'

/**
 * From XYZ under D65 to the cone-like responses of Oklab, and from their cube roots to Oklab.
 * Source: B. Ottosson, A perceptual color space for image processing, 2020, with the figures of CSS Color 4, section
 * 10.8, worked out again for one white throughout: the white of both is exactly 1, 0, 0.
 */
const XYZ_D65_TO_LMS: Matrix3 = [
  0.819022437996703, 0.3619062600528904, -0.1288737815209879, 0.0329836539323885, 0.9292868615863434,
  0.0361446663506424, 0.0481771893596242, 0.2642395317527308, 0.6335478284694309,
]
export const LMS_ROOTS_TO_OKLAB: Matrix3 = [
  0.210454268309314, 0.7936177747023054, -0.0040720430116193, 1.9779985324311684, -2.4285922420485799,
  0.450593709617411, 0.0259040424655478, 0.7827717124575296, -0.8086757549230774,
]
export const OKLAB_TO_LMS_ROOTS: Matrix3 = invert3(LMS_ROOTS_TO_OKLAB)

export const WORKING_TO_LMS: Matrix3 = multiply3(
  XYZ_D65_TO_LMS,
  multiply3(adaptation(D50_XYZ, xyToXyz(D65_XY)), WORKING_TO_XYZ_D50),
)
export const LMS_TO_WORKING: Matrix3 = invert3(WORKING_TO_LMS)

/**
 * Oklab of working linear light.
 * @returns lightness 0..1, a, b
 */
export function workingToOklab(working: Readonly<Vector3>): Vector3 {
  return apply3(LMS_ROOTS_TO_OKLAB, apply3(WORKING_TO_LMS, working).map(Math.cbrt) as Vector3)
}

/** The inverse of `workingToOklab`. */
export function oklabToWorking(oklab: Readonly<Vector3>): Vector3 {
  return apply3(LMS_TO_WORKING, apply3(OKLAB_TO_LMS_ROOTS, oklab).map((root) => root ** 3) as Vector3)
}

/**
 * Oklch of working linear light.
 * @returns lightness 0..1, chroma, hue in degrees 0..360 (0 where there is no chroma)
 */
export function workingToOklch(working: Readonly<Vector3>): Vector3 {
  const [lightness, a, b] = workingToOklab(working)
  const hue = (Math.atan2(b, a) * 180) / Math.PI
  return [lightness, Math.hypot(a, b), hue < 0 ? hue + 360 : hue]
}

/** The inverse of `workingToOklch`. */
export function oklchToWorking([lightness, chroma, hueDegrees]: Readonly<Vector3>): Vector3 {
  const hue = (hueDegrees * Math.PI) / 180
  return oklabToWorking([lightness, chroma * Math.cos(hue), chroma * Math.sin(hue)])
}
