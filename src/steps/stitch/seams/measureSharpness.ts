import { blurred } from '../../../raster/blurred.js'
import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import type { PlacedCapture } from '../Reading.js'
import { type Part, partOf, pieceOf } from './Part.js'
import type { SharpnessPair, SharpnessWindow } from './sharper.js'

/** A place's side, and the margin in it that the filters need, in sheet pixels. */
export const PLACE_PX = 44
const MARGIN_PX = 6
/** Detail between two blurs, standard deviations in sheet pixels. */
interface Band {
  finePx: number
  coarsePx: number
  /** Below this correlation the two do not show the same thing finely enough to be compared. */
  leastCorrelation: number
}
/** The finest detail there is, where it stands above noise; else what half a pixel of defocus already takes. */
const BANDS: readonly Band[] = [
  { finePx: 0, coarsePx: 1.2, leastCorrelation: 0.8 },
  { finePx: 0.8, coarsePx: 2, leastCorrelation: 0.5 },
]
/** A pair is compared in the first band in which so many windows, or this share of them, can be. */
const ENOUGH_WINDOWS = 3
const ENOUGH_SHARE = 0.5
const FLOOR = 0.01

/** Two captures as they lie on the sheet, and places both hold. */
export interface SharpnessAsk {
  first: number
  second: number
  /** The first's, then the second's. */
  placed: readonly [Placed, Placed]
  places: readonly Rect[]
}
type Placed = NonNullable<PlacedCapture['placed']>

/**
 * How sharp two captures are where they show the same: both brought to the sheet, the size of their fine detail compared
 * over the same painted structure.
 *
 * Noise is in no two captures the same: of the two bands' covariance the larger eigenvalue is what both show, the smaller
 * what one alone does, and the larger's direction has the ratio of the two. That holds where both are equally noisy; with r
 * the correlation, noise that is all in one changes the ratio by a factor of 1 / r at most, which is kept beside it.
 * @param sources the first's, then the second's
 * Source: M. Subbarao, T. Choi, A. Nikzad, "Focusing techniques", Optical Engineering 32(11), 1993, pp. 2824-2836,
 * doi:10.1117/12.147706 (energy of a band-passed picture as a measure of focus; from memory). K. Pearson, "On lines and
 * planes of closest fit to systems of points in space", Phil. Mag. 2(11), 1901, pp. 559-572,
 * doi:10.1080/14786440109462720 (the direction; from memory).
 */
export function measureSharpness(
  sources: readonly [Source, Source],
  { first, second, placed, places }: SharpnessAsk,
): SharpnessPair {
  const [one, other] = sources.map((source, k) => partOf(k, source, placed[k], 0))
  const logs = places.map((rect) => ({ rect, a: logLight(one, rect), b: logLight(other, rect) }))
  const least = Math.max(ENOUGH_WINDOWS, ENOUGH_SHARE * logs.length)
  let windows: SharpnessWindow[] = []
  for (const band of BANDS) {
    windows = logs.flatMap(({ rect, a, b }) => compared(a, b, rect, band) ?? [])
    if (windows.length >= least) break
  }
  return { first, second, windows }
}

function compared(
  one: Float32Array,
  other: Float32Array,
  rect: Rect,
  { finePx, coarsePx, leastCorrelation }: Band,
): SharpnessWindow | undefined {
  const { width, height } = rect
  const [a, b] = [one, other].map((log) => {
    const fine = finePx > 0 ? blurred(log, width, height, finePx) : log
    const coarse = blurred(log, width, height, coarsePx)
    return fine.map((value, i) => value - coarse[i])
  })
  let [aa, ab, bb] = [0, 0, 0]
  for (let j = MARGIN_PX; j < height - MARGIN_PX; j++) {
    for (let i = MARGIN_PX; i < width - MARGIN_PX; i++) {
      const at = j * width + i
      aa += a[at] * a[at]
      ab += a[at] * b[at]
      bb += b[at] * b[at]
    }
  }
  const correlation = Math.abs(ab) / Math.sqrt(aa * bb)
  // Also where either shows nothing at all.
  if (!(correlation >= leastCorrelation)) return undefined
  const direction = Math.atan2(2 * Math.abs(ab), aa - bb) / 2
  return {
    x: rect.x + width / 2,
    y: rect.y + height / 2,
    log: Math.log(Math.tan(direction)),
    unsure: -Math.log(correlation),
  }
}

/** A capture's log light on a rectangle of the sheet. */
function logLight(part: Part, rect: Rect): Float32Array {
  const [r, g, b] = pieceOf(part, rect).planes
  return r.map((value, i) => Math.log(Math.max(0.3 * value + 0.6 * g[i] + 0.1 * b[i], FLOOR)))
}
