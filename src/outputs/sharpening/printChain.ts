import { ENLARGING, REDUCING, type ResampleFilter } from '../../raster/resample/filters.js'
import { MM_PER_INCH } from '../../units.js'

/** A derivative as far as its sharpness goes. */
export interface PrintChain {
  /** Captured pixels a printed inch. */
  effectivePpi: number
  /** Pixels an inch of the file. */
  ppi: number
  viewingMm: number
  /** Standard deviation of how far the ink spreads, in millimetres. */
  inkSpreadMm: number
}

/** sin(pi x) / (pi x): what averaging over a square pixel passes of x cycles a pixel. */
function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x)
}

/** Steps of the midpoint rule, and each filter's values at their middles. */
const STEPS = 220
const known = new WeakMap<ResampleFilter, Float64Array>()

/**
 * What a symmetrical filter passes of `frequency` cycles a sample: its Fourier transform, by the midpoint rule. The
 * cosines of evenly spaced angles follow from each other: cos(a + t) = 2 cos(t) cos(a) - cos(a - t).
 */
export function filterTransfer(filter: ResampleFilter, frequency: number): number {
  const dx = filter.reach / STEPS
  let values = known.get(filter)
  if (!values) {
    values = Float64Array.from({ length: STEPS }, (_, i) => filter.value((i + 0.5) * dx))
    known.set(filter, values)
  }
  const step = 2 * Math.PI * frequency * dx
  const twice = 2 * Math.cos(step)
  let [before, cosine] = [Math.cos(step / 2), Math.cos(step / 2)]
  let sum = 0
  for (let i = 0; i < STEPS; i++) {
    sum += values[i] * cosine
    const next = twice * cosine - before
    before = cosine
    cosine = next
  }
  return 2 * sum * dx
}

/** The resampling filter that the file passes, and output pixels to one of its samples; none where pixels are copied. */
export function resampling({
  effectivePpi,
  ppi,
}: PrintChain): { filter: ResampleFilter; stretch: number } | null {
  if (Math.abs(effectivePpi / ppi - 1) < 1e-9) return null
  return effectivePpi > ppi
    ? { filter: REDUCING, stretch: 1 }
    : { filter: ENLARGING, stretch: ppi / effectivePpi }
}

/** Cycles an output pixel that are one cycle a degree at the viewing distance. */
export function pixelsPerDegreeInverse({ ppi, viewingMm }: PrintChain): number {
  return MM_PER_INCH / ppi / (viewingMm * Math.tan(Math.PI / 180))
}

/**
 * What the unsharpened file passes: the captured pixel's own square, and the resampling filter. The capture is taken to
 * be as sharp as its pixels; nothing is passed beyond the file's Nyquist frequency.
 * @param frequency cycles an output pixel
 */
export function fileTransfer(chain: PrintChain, frequency: number): number {
  if (frequency > 0.5) return 0
  const resampler = resampling(chain)
  const filter = resampler ? filterTransfer(resampler.filter, frequency * resampler.stretch) : 1
  return sinc((frequency * chain.ppi) / chain.effectivePpi) * filter
}

/** What `amount` of sharpening adds to 1: 1 + amount (1 - exp(-2 pi² sigma² f²)). */
export function detailTransfer(sigmaPx: number, frequency: number): number {
  return 1 - Math.exp(-2 * (Math.PI * sigmaPx * frequency) ** 2)
}

/** What the printer passes: its own square pixel at the file's resolution, and the ink's spread as a Gaussian. */
export function printTransfer({ ppi, inkSpreadMm }: PrintChain, frequency: number): number {
  const sigmaPx = (inkSpreadMm / MM_PER_INCH) * ppi
  return sinc(frequency) * Math.exp(-2 * (Math.PI * sigmaPx * frequency) ** 2)
}
