import { labToXyzD50, xyzD50ToLab } from '../../../colour/lab.js'
import { apply3 } from '../../../colour/matrix3.js'
import { WORKING_TO_XYZ_D50, XYZ_D50_TO_WORKING } from '../../../colour/working.js'
import type { Triple } from './Fit.js'

/** CIELAB (D50) of a linear colour of the working space. */
export function labOfWorking(linear: Readonly<Triple>): Triple {
  return xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, linear))
}

/** The linear colour of the working space of a CIELAB (D50) colour. */
export function workingOfLab(labD50: Readonly<Triple>): Triple {
  return apply3(XYZ_D50_TO_WORKING, labToXyzD50(labD50))
}
