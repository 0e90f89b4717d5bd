import type { ColourNoise } from './colourNoise.js'
import { continuation } from './continuation.js'
import type { Params } from './params.js'
import type { PaperLook, ReliefFilter } from './ReliefFilter.js'
import { rescaledSpectrum } from './rescaledSpectrum.js'

/**
 * The filter for a relief. Windows of 32 px measured best on tooth, laid and weave at 300 and 600 ppi: large enough to
 * tell relief from paint by its spectrum, small enough that most windows hold no edge (64: blank paper 4 to 14 dB worse
 * beside paint). Windows of 16 px beside them add 0.2 dB, most of it at edges. 12 px apart instead of 16 is worth 0.3 dB
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
  const fine = fineness(relief)
  const spared = 1 - FINE_SPARES * fine
  const pilot = spared * 0.75 ** (2 * detail - 1)
  const final = spared * 0.5 ** (2 * detail - 1)
  return {
    scales: [
      { n: 32, step: 12, relief: rescaledSpectrum(relief, 64, 32, 1) },
      { n: 16, step: 8, relief: rescaledSpectrum(relief, 64, 16, 1) },
    ],
    pilotOver: 1.7 * pilot,
    pilotBareOver: ((6 - 2 * fine) / spared) * pilot,
    finalOver: 0.7 * final,
    finalBareOver: ((1.5 - 0.5 * fine) / spared) * final,
    towardsCommon: 0.5 * (1 - fine),
    beyond: continuation(relief),
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

/** Strength of a relief's fine part where it begins to rival fine lines, and where it does fully, as a share of the light. */
const FINE_BEGINS = 0.028
const FINE_FULLY = 0.058
/** How much less of a fine relief's power is taken off where there is a picture. */
const FINE_SPARES = 0.5
/** Frequencies of pencil lines and other fine lines, in cycles in 64 px. */
const OF_LINES = { above: 5, to: 20 }

/**
 * How far a relief is as strong as the finest lines in all that fine lines are made of, 0..1: there the filter errs towards
 * the lines. The geometric mean of its power counts, as a sheet whose power lies at a few frequencies, as of laid lines or
 * threads, leaves the lines all others. Without it a pencil line over the deepest tooth measured kept 0.91 of its contrast;
 * 0.956 with it, for 0.5 dB there.
 */
function fineness(relief: Float32Array): number {
  const n = 64
  let logs = 0
  let count = 0
  for (let i = 0; i < n * n; i++) {
    const cycles = Math.hypot(...[i % n, Math.floor(i / n)].map((k) => Math.min(k, n - k)))
    if (cycles <= OF_LINES.above || cycles > OF_LINES.to) continue
    logs += Math.log(relief[i] + 1e-9)
    count++
  }
  // White noise of this power under the sine window has this RMS.
  const rms = Math.sqrt(Math.exp(logs / count) / (n / 2) ** 2) * Math.LN2
  const t = Math.min(Math.max((rms - FINE_BEGINS) / (FINE_FULLY - FINE_BEGINS), 0), 1)
  return t * t * (3 - 2 * t)
}
