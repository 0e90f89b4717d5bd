import type { WindowSize } from '../../raster/fft/powerSpectrum.js'
import type { ColourNoise } from './colourNoise.js'
import type { Continuation } from './continuation.js'

/** One size of windows; their grid starts at the picture's corner. */
export interface WindowScale {
  /** Window size and distance in pixels. */
  n: WindowSize
  step: number
  /** The relief's power, `n * n`, in the units of `powerSpectrum` over log2 luminance. */
  relief: Float32Array
}

/** The bare sheet: log2 luminance and log2 ratios of red and blue to green, less the relief's tint (see `logPlanes`). */
export interface PaperLook {
  light: number
  red: number
  blue: number
}

/** How the relief is taken off, besides its spectrum. */
export interface ReliefFilter {
  /** Windows of every size work together; each place listens most to those that pass least relief. */
  scales: readonly WindowScale[]
  /**
   * Multiples of the relief's power taken off in the pilot and in the final gain, where a window shows a picture besides
   * the relief or lies in paint, and where it shows nothing but the bare sheet.
   */
  pilotOver: number
  pilotBareOver: number
  finalOver: number
  finalBareOver: number
  /** How far the pilot moves towards its common part before the final gain is taken from it, 0..1. */
  towardsCommon: number
  /** How the relief goes on beyond the picture's edges; absent, everything is mirrored there. */
  beyond?: Continuation
  /** Damping of the fit of luminance to the colour ratios, a multiple of the window's pixel count. */
  ridge: number
  /** Added to the share of relief that a window passes before its inverse is taken for the window's trust. */
  trustFloor: number
  /** The noise of the colour ratios; absent where it is not known, and the ratios are then taken as they are. */
  noise?: ColourNoise
  /** Multiple of the noise's power taken off. */
  noiseOver: number
  /**
   * By how much red over green, and blue over green, change with luminance in the relief itself, as logarithms: 0, 0
   * where relief multiplies all channels alike; else the capture's own curves have coloured it.
   */
  tint: readonly [number, number]
  /** Share of relief amplitude taken away, 0..1. */
  amount: number
  /** Share of that which is left undone where paint lies, 0..1, and how the bare sheet looks; without it, everywhere. */
  keptInPaint: number
  paper: PaperLook | undefined
}
