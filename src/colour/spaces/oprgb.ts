import { defineSpace } from './defineSpace.js'
import { D65_XY } from './srgb.js'

/** opRGB. Source: IEC 61966-2-5:2007, with the exponent 563/256 of the 1998 encoding it stands on. */
export const OPRGB = defineSpace({
  name: 'opRGB',
  standard: 'IEC 61966-2-5:2007',
  primariesXy: [
    [0.64, 0.33],
    [0.21, 0.71],
    [0.15, 0.06],
  ],
  whiteXy: D65_XY,
  curve: { g: 563 / 256, a: 1, b: 0, c: 0, d: 0 },
})
