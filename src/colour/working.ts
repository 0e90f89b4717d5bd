import { IDENTITY3, type Matrix3, multiply3 } from './matrix3.js'
import { ROMM_RGB } from './spaces/romm.js'
import type { SpaceName } from './spaces/SpaceName.js'
import { space } from './spaces/space.js'

/** From the working space (ROMM RGB primaries, linear) to XYZ under D50; 1, 1, 1 is white. */
export const WORKING_TO_XYZ_D50: Matrix3 = ROMM_RGB.toXyzD50
export const XYZ_D50_TO_WORKING: Matrix3 = ROMM_RGB.fromXyzD50

/** From the working space to a space's linear RGB; exactly the identity where the two share their primaries. */
export function workingTo(name: SpaceName): Matrix3 {
  return name === 'ROMM RGB' ? IDENTITY3 : multiply3(space(name).fromXyzD50, WORKING_TO_XYZ_D50)
}

/** From a space's linear RGB to the working space. */
export function toWorking(name: SpaceName): Matrix3 {
  return name === 'ROMM RGB' ? IDENTITY3 : multiply3(XYZ_D50_TO_WORKING, space(name).toXyzD50)
}
