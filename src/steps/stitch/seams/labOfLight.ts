import { xyzD50ToLab } from '../../../colour/lab.js'
import { apply3, type Vector3 } from '../../../colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../../../colour/working.js'

/** CIELAB of linear light in the working space. */
export const labOfLight = (linear: Readonly<Vector3>): Vector3 =>
  xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, linear as Vector3))
