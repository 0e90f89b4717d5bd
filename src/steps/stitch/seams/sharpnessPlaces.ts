import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import type { Layout } from '../layout/layOut.js'
import { moved } from '../Placement.js'
import type { PlacedCapture } from '../Reading.js'
import type { Match } from '../refine/measurePair.js'
import type { Residual } from '../refine/residuals.js'
import { PLACE_PX, type SharpnessAsk } from './measureSharpness.js'
import { holdsWhole, partOf } from './Part.js'

/** Places of a pair at most. */
const MOST_PLACES = 16

/**
 * Where captures' sharpness is compared: at windows of painted structure that both hold and whose place is known to a
 * fraction of a pixel, a few of each pair, scattered.
 * @param captures as they lie on the sheet
 */
export function sharpnessPlaces(
  sources: readonly Source[],
  captures: readonly PlacedCapture[],
  { width, height, placements }: Layout,
  matches: readonly Match[],
  residuals: readonly Residual[],
): SharpnessAsk[] {
  const pairs = new Map<string, { first: number; second: number; rects: Rect[] }>()
  for (const [k, { first, second, a }] of matches.entries()) {
    if (residuals[k].weight === 0) continue
    const key = `${first} ${second}`
    const pair = pairs.get(key) ?? { first, second, rects: [] }
    pairs.set(key, pair)
    const [x, y] = moved(placements[first]!, ...a).map((value) => Math.round(value) - PLACE_PX / 2)
    if (x >= 0 && y >= 0 && x + PLACE_PX <= width && y + PLACE_PX <= height) {
      pair.rects.push({ x, y, width: PLACE_PX, height: PLACE_PX })
    }
  }
  return [...pairs.values()].map(({ first, second, rects }) => {
    const placed = [captures[first].placed!, captures[second].placed!] as const
    const parts = [first, second].map((index, k) => partOf(index, sources[index], placed[k], 0))
    const held = rects.filter((rect) => parts.every((part) => holdsWhole(part, rect, 1)))
    return { first, second, placed, places: scattered(held) }
  })
}

/** Some of the places, each next the one farthest from those before. */
function scattered(rects: readonly Rect[]): Rect[] {
  if (rects.length <= MOST_PLACES) return [...rects]
  const chosen = [rects[0]]
  const room = rects.map(() => Number.POSITIVE_INFINITY)
  while (chosen.length < MOST_PLACES) {
    const last = chosen[chosen.length - 1]
    for (const [k, { x, y }] of rects.entries())
      room[k] = Math.min(room[k], Math.hypot(x - last.x, y - last.y))
    chosen.push(rects[room.indexOf(Math.max(...room))])
  }
  return chosen
}
