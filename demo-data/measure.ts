/** How close a result comes to the painter's truth. */
export { contrastKept } from './measure/contrastKept.js'
export { granulationKept } from './measure/granulationKept.js'
export { psnrSrgb } from './measure/psnrSrgb.js'
export { reliefLeftDb } from './measure/reliefLeftDb.js'
