import type { Rect } from '../../raster/Rect.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import type { StitchReading } from './Reading.js'
import { joinParts, type Picture } from './seams/joinParts.js'
import { holdsWhole } from './seams/Part.js'

/** Rectangles up to this long and wide are not divided further. */
const LEAST_PX = 64

/**
 * A rectangle of one layer, halved until its parts are small or show one capture alone: what weighing captures against each
 * other costs is then spent about seams and borders only. A pixel has the same bits however its surroundings are divided.
 * @param rect in sheet pixels
 */
export function joinDivided(picture: Picture, fill: StitchReading['fill'], rect: Rect): Tile {
  const parts = divided(picture, rect)
  if (parts.length === 1) return joinParts(picture, fill, rect)
  const out = emptyTile(rect)
  for (const part of parts) {
    const { planes } = joinParts(picture, fill, part)
    for (const [c, plane] of planes.entries()) {
      let to = (part.y - rect.y) * rect.width + part.x - rect.x
      for (let from = 0; from < plane.length; from += part.width, to += rect.width) {
        out.planes[c].set(plane.subarray(from, from + part.width), to)
      }
    }
  }
  return out
}

function divided(picture: Picture, rect: Rect): Rect[] {
  const { x, y, width, height } = rect
  if (Math.max(width, height) <= LEAST_PX || showsOne(picture, rect)) return [rect]
  const halves: Rect[] =
    width >= height
      ? [
          { x, y, width: width >> 1, height },
          { x: x + (width >> 1), y, width: width - (width >> 1), height },
        ]
      : [
          { x, y, width, height: height >> 1 },
          { x, y: y + (height >> 1), width, height: height - (height >> 1) },
        ]
  const parts = halves.flatMap((half) => divided(picture, half))
  // Where dividing brought nothing, one larger piece is cheaper.
  return parts.length === 2 && !parts.some((part) => showsOne(picture, part)) ? [rect] : parts
}

/** Whether one capture has all of a rectangle, with what spreads to it from beside it, and holds all of it. */
function showsOne({ wide, parts }: Picture, rect: Rect): boolean {
  const { only } = wide(rect)
  const part = only === undefined ? undefined : parts.find(({ index }) => index === only)
  return part !== undefined && holdsWhole(part, rect)
}
