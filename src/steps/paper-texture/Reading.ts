import type { ColourNoise } from './colourNoise.js'
import type { PaperLook } from './ReliefFilter.js'

/** What is known of a sheet's relief. Plain JSON; can be saved and used again for another sheet of the same paper. */
export interface ReliefReading {
  /** False where the sheet shows no relief above noise: the picture is then left as it is, to the bit. */
  textured: boolean
  /** True where what is uneven in the sheet is a pattern of its own colours, as of silk's threads: left as it is too. */
  pattern?: boolean
  /**
   * Where the relief was learned: blank paper, regions named in the pipeline, the flattest washes, another
   * reading; or an earlier step had left too little of it to learn.
   */
  basis: 'blank' | 'regions' | 'washes' | 'reading' | 'earlier step'
  /** Windows looked at, and windows the spectrum was learned from. */
  windowsSampled: number
  windowsUsed: number
  /** Share of the sampled windows that are blank paper, 0..1. */
  blankShare: number
  /** RMS of the relief in per cent of the light. */
  reliefRmsPercent: number
  /** Strongest period in pixels, and the direction across its ridges in degrees from the picture's right, clockwise. */
  periodPx: number
  directionDeg: number
  /** 1 = the same in every direction, 0 = all in one. */
  isotropy: number
  /** Change of log red/green and log blue/green with log luminance in the relief; 0, 0 where it is colourless. */
  tint: [number, number]
  /** The capture's noise in the colour ratios; only blank paper can tell it from paint. */
  noise?: ColourNoise
  /** How the bare sheet looks; absent where none was found. */
  paper?: PaperLook
  /** RMS of the relief left on the blank windows after filtering against before, dB, at full strength. */
  residualDb: number
  /** Share of the picture's area where its structure is in what was taken away, per cent, see `leakOf`. */
  leakPercent?: number
  /** Resolution the spectrum was learned at. */
  ppi?: number
  /** Window size, and the power of log2 luminance for kx = 0..n/2, ky = 0..n-1, at `ky * (n / 2 + 1) + kx`. */
  window: 64
  spectrum: number[]
  /** Things the person should know before trusting the result. */
  warnings: string[]
}
