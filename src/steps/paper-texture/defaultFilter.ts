import type { ColourNoise } from './colourNoise.js'
import type { Params } from './params.js'
import type { PaperLook, ReliefFilter } from './ReliefFilter.js'
import { rescaledSpectrum } from './rescaledSpectrum.js'
import { varianceOf } from './windowFacts.js'

/**
 * The filter for a relief. Windows of 32 px measured best on tooth, laid and weave at 300 and 600 ppi: large enough to
 * tell relief from paint by its spectrum, small enough that most windows hold no edge (64: blank paper 4 to 14 dB worse
 * beside paint). Windows of 16 px beside them add 0.3 dB, most of it at edges. 12 px apart instead of 16 is worth 0.3 dB
 * and 1.5 dB on blank paper.
 * @param relief `64 * 64` powers
 * @param tint the relief's own colour change, see `reliefTint`
 * @param noise the noise of the colour ratios, where it is known
 * @param paper how the bare sheet looks, where that is known
 * @param strength share of the relief's power to take away, 0..1
 * @param detail which way to err, 0..1: 0 rather takes a line than leaves relief, 1 the other way
 */
export function defaultFilter(
  relief: Float32Array,
  tint: readonly [number, number],
  noise: ColourNoise | undefined,
  paper: PaperLook | undefined,
  { strength, detail, 'keep-granulation': kept }: Pick<Params, 'strength' | 'detail' | 'keep-granulation'>,
): ReliefFilter {
  const spared = 1 - DEEP_SPARES * deepness(relief)
  const pilot = spared * 0.75 ** (2 * detail - 1)
  const final = spared * 0.5 ** (2 * detail - 1)
  return {
    scales: [
      { n: 32, step: 12, relief: rescaledSpectrum(relief, 64, 32, 1) },
      { n: 16, step: 8, relief: rescaledSpectrum(relief, 64, 16, 1) },
    ],
    pilotOver: 1.7 * pilot,
    pilotBareOver: (6 / spared) * pilot,
    finalOver: 0.7 * final,
    finalBareOver: (1.5 / spared) * final,
    ridge: 0.0005,
    trustFloor: 0.02,
    noise,
    noiseOver: 1.8,
    tint,
    // Power s taken away leaves the amplitude sqrt(1 - s).
    amount: 1 - Math.sqrt(1 - strength),
    keptInPaint: kept,
    paper,
  }
}

/** A relief's RMS where it begins to rival fine lines, and where it does fully, as a share of the light. */
const SHALLOW = 0.045
const DEEP = 0.085
/** How much less of a deep relief's power is taken off where there is a picture. */
const DEEP_SPARES = 0.5

/**
 * How far a relief is as strong as the finest lines, 0..1: there the filter errs towards the lines. Without it a pencil line
 * over the deepest tooth measured kept 0.93 of its contrast; 0.95 with it, for 0.3 dB.
 */
function deepness(relief: Float32Array): number {
  const rms = Math.sqrt(varianceOf(relief, 64)) * Math.LN2
  const t = Math.min(Math.max((rms - SHALLOW) / (DEEP - SHALLOW), 0), 1)
  return t * t * (3 - 2 * t)
}
