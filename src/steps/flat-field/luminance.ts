import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'

/** Luminance of a linear colour of the working space, 1 for the perfect diffuser. */
export function luminance(red: number, green: number, blue: number): number {
  return WORKING_TO_XYZ_D50[3] * red + WORKING_TO_XYZ_D50[4] * green + WORKING_TO_XYZ_D50[5] * blue
}
