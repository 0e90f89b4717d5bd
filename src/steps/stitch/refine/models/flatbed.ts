import { angleOf, moved, rigid, scaleOf } from '../../Placement.js'
import type { Model } from './Model.js'

/** What a flatbed's scale differs by from one capture to another: its carriage and its optics are not the same twice. */
const SCALE_SIGMA = 0.003

/** Flatbed captures shift and turn as a whole; their scale differs by little. */
export const FLATBED: Model = flatbedModel(SCALE_SIGMA)

/** Flatbed captures whose scales are all what their resolution states. */
export const FLATBED_OF_ONE_SCALE: Model = flatbedModel(1e-9)

function flatbedModel(scaleSigma: number): Model {
  return {
    ownSigmas: [undefined, undefined, undefined, scaleSigma],
    held: [true, true, true, false],
    ownSteps: [1e-6, 1e-3, 1e-3, 1e-6],
    shared: [],
    sharedSigmas: [],
    sharedSteps: [],
    ownOf: (placement) => [angleOf(placement), ...moved(placement, 0, 0), Math.log(scaleOf(placement))],
    place: ([angle, x, y, logScale]) => rigid(angle, x, y, Math.exp(logScale)),
  }
}
