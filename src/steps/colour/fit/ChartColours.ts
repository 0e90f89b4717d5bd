import type { Triple } from './Fit.js'

/** A chart as read from its capture, beside what it should be. */
export interface ChartColours {
  /** One a patch: linear, working space, as captured. */
  linear: readonly Readonly<Triple>[]
  /** Relative change of the light over one patch distance, to the right and down the chart, from inside each patch. */
  slopes: readonly (readonly [right: number, down: number])[]
  /** Patch distances from the chart's middle, to the right and down. */
  places: readonly { u: number; v: number }[]
  labD50: readonly Readonly<Triple>[]
  /** Patches that take part in the fit. */
  used: readonly number[]
  /** The greys, lightest first. */
  greys: readonly number[]
  /** Row-major 3x3: from the device's own linear channels to the working space. */
  deviceToWorking: readonly number[]
}
