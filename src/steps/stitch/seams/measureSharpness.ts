import type { Rect } from '../../../raster/Rect.js'
import type { Layout } from '../layout/layOut.js'
import { moved } from '../Placement.js'
import type { Match } from '../refine/measurePair.js'
import type { Residual } from '../refine/residuals.js'
import { blurred } from '../views/blurred.js'
import { holdsWhole, type Part, pieceOf } from './Part.js'
import type { SharpnessPair, SharpnessWindow } from './sharper.js'

/** Windows of a pair at most, and a window's side and the margin its filters need, in sheet pixels. */
const MOST_WINDOWS = 16
const SIDE_PX = 32
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

/**
 * How sharp captures are where they show the same: both brought to the sheet, the size of their fine detail compared over
 * the same painted structure, at windows whose place is known to a fraction of a pixel.
 *
 * Noise is in no two captures the same: of the two bands' covariance the larger eigenvalue is what both show, the smaller
 * what one alone does, and the larger's direction has the ratio of the two. That holds where both are equally noisy; with r
 * the correlation, noise that is all in one changes the ratio by a factor of 1 / r at most, which is kept beside it.
 * @param parts by the captures' indices
 * Source: M. Subbarao, T. Choi, A. Nikzad, "Focusing techniques", Optical Engineering 32(11), 1993, pp. 2824-2836,
 * doi:10.1117/12.147706 (energy of a band-passed picture as a measure of focus; from memory). K. Pearson, "On lines and
 * planes of closest fit to systems of points in space", Phil. Mag. 2(11), 1901, pp. 559-572,
 * doi:10.1080/14786440109462720 (the direction; from memory).
 */
export function measureSharpness(
  parts: readonly (Part | undefined)[],
  { width, height, placements }: Layout,
  matches: readonly Match[],
  residuals: readonly Residual[],
): SharpnessPair[] {
  const pairs = new Map<string, { first: number; second: number; places: [x: number, y: number][] }>()
  for (const [k, { first, second, a }] of matches.entries()) {
    if (residuals[k].weight === 0) continue
    const key = `${first} ${second}`
    const pair = pairs.get(key) ?? { first, second, places: [] }
    pairs.set(key, pair)
    pair.places.push(moved(placements[first]!, ...a))
  }
  const side = SIDE_PX + 2 * MARGIN_PX
  return [...pairs.values()].map(({ first, second, places }) => {
    const [one, other] = [parts[first]!, parts[second]!]
    const rects = places
      .map(
        ([x, y]): Rect => ({
          x: Math.round(x) - side / 2,
          y: Math.round(y) - side / 2,
          width: side,
          height: side,
        }),
      )
      .filter(({ x, y }) => x >= 0 && y >= 0 && x + side <= width && y + side <= height)
      .filter((rect) => holdsWhole(one, rect, 1) && holdsWhole(other, rect, 1))
    const logs = scattered(rects).map((rect) => ({ rect, a: logLight(one, rect), b: logLight(other, rect) }))
    const least = Math.max(ENOUGH_WINDOWS, ENOUGH_SHARE * logs.length)
    let windows: SharpnessWindow[] = []
    for (const band of BANDS) {
      windows = logs.flatMap(({ rect, a, b }) => compared(a, b, rect, band) ?? [])
      if (windows.length >= least) break
    }
    return { first, second, windows }
  })
}

/** Some of the places, each next the one farthest from those before. */
function scattered(rects: readonly Rect[]): Rect[] {
  if (rects.length <= MOST_WINDOWS) return [...rects]
  const chosen = [rects[0]]
  const room = rects.map(() => Number.POSITIVE_INFINITY)
  while (chosen.length < MOST_WINDOWS) {
    const last = chosen[chosen.length - 1]
    for (const [k, { x, y }] of rects.entries())
      room[k] = Math.min(room[k], Math.hypot(x - last.x, y - last.y))
    chosen.push(rects[room.indexOf(Math.max(...room))])
  }
  return chosen
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
