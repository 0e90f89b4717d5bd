import { defineSpace } from './defineSpace.js'
import { D65_XY, SRGB_CURVE } from './srgb.js'

/** Display P3: the primaries of SMPTE RP 431-2 with white D65 and the curve of sRGB. Source: CSS Color 4, 10.4. */
export const DISPLAY_P3 = defineSpace({
  name: 'Display P3',
  standard: 'SMPTE RP 431-2 primaries, white D65, curve of IEC 61966-2-1',
  primariesXy: [
    [0.68, 0.32],
    [0.265, 0.69],
    [0.15, 0.06],
  ],
  whiteXy: D65_XY,
  curve: SRGB_CURVE,
})
