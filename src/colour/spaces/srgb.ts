import { defineSpace } from './defineSpace.js'

/** Chromaticity of D65 as the RGB standards state it. */
export const D65_XY = [0.3127, 0.329] as const

/** The piecewise curve of sRGB, which Display P3 shares. */
export const SRGB_CURVE = { g: 2.4, a: 1 / 1.055, b: 0.055 / 1.055, c: 1 / 12.92, d: 0.04045 }

/** sRGB. Source: IEC 61966-2-1:1999. */
export const SRGB = defineSpace({
  name: 'sRGB',
  standard: 'IEC 61966-2-1:1999',
  primariesXy: [
    [0.64, 0.33],
    [0.3, 0.6],
    [0.15, 0.06],
  ],
  whiteXy: D65_XY,
  curve: SRGB_CURVE,
})
