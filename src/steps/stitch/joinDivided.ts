import { type HeldPlanes, heldViews, takePlanes } from '../../raster/heldRegion.js'
import type { Rect } from '../../raster/Rect.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { warpHeld } from '../../raster/warp/warpTile.js'
import { levelHeld } from './light/levelOut.js'
import type { StitchReading } from './Reading.js'
import { joinParts, type Picture } from './seams/joinParts.js'
import { mixCoarse } from './seams/mixCoarse.js'
import { holdsWhole, type Part } from './seams/Part.js'

/** Rectangles up to this long and wide are not divided further. */
const LEAST_PX = 64
/** Nor those up to this where one capture is shown alone: what is warped then stays in the processor's cache. */
const MOST_PX = 256

/**
 * A rectangle of one layer, halved until its parts are small or show one capture alone: what weighing captures against each
 * other costs is then spent about seams and borders only. A pixel has the same bits however its surroundings are divided.
 * @param rect in sheet pixels
 */
export function joinDivided(picture: Picture, fill: StitchReading['fill'], rect: Rect): Tile {
  const out = emptyTile(rect)
  for (const piece of divided(picture, rect)) {
    if (piece.only) {
      soloPiece(piece.only, piece.rect, (planes) => copyRows(heldViews(planes, piece.rect), piece.rect, out))
    } else {
      copyRows(mixedPiece(picture, fill, piece.rect).planes, piece.rect, out)
    }
  }
  return out
}

/** Copies a piece's planes to their place in a tile. */
function copyRows(planes: readonly Float32Array[], { x, y, width }: Rect, out: Tile): void {
  const stride = out.rect.width
  for (const [c, plane] of planes.entries()) {
    let to = (y - out.rect.y) * stride + x - out.rect.x
    for (let from = 0; from < plane.length; from += width, to += stride) {
      out.planes[c].set(plane.subarray(from, from + width), to)
    }
  }
}

interface Piece {
  rect: Rect
  /** The capture that has all of it, if one has. */
  only: Part | undefined
}

/**
 * A piece of one capture alone, warped, evened out and brought to its gain in kernel memory: the bits of `joinParts`.
 * @param use is given the planes and returns what is made of them
 */
const soloPiece = <T>(
  { source, fromSheet, lens, field, gain }: Part,
  rect: Rect,
  use: (planes: HeldPlanes) => T,
): T =>
  warpHeld(source, fromSheet, rect, lens, (planes) => {
    levelHeld(planes, rect, field, gain)
    return use(planes)
  })

/** A piece about a seam or a border; where all fine detail is one capture's it is weighed against nothing. */
function mixedPiece(picture: Picture, fill: StitchReading['fill'], rect: Rect): Tile {
  const part = detailPart(picture, rect)
  if (!part) return joinParts(picture, fill, rect)
  const count = rect.width * rect.height
  const tile: Tile = { rect, planes: soloPiece(part, rect, (planes) => takePlanes(planes, count)) }
  if (picture.coarse) {
    const weight = new Float32Array(count).fill(1)
    mixCoarse(tile, picture.parts, [{ part, weight }], picture.wide(rect), picture.coarse)
  }
  return tile
}

/** The capture that gives all fine detail of a rectangle and holds all of it. */
function detailPart({ narrow, parts }: Picture, rect: Rect): Part | undefined {
  const { only } = narrow(rect)
  const part = only === undefined ? undefined : parts.find(({ index }) => index === only)
  return part && holdsWhole(part, rect) ? part : undefined
}

function divided(picture: Picture, rect: Rect): Piece[] {
  const { x, y, width, height } = rect
  const only = onlyPart(picture, rect)
  if (Math.max(width, height) <= (only ? MOST_PX : LEAST_PX)) return [{ rect, only }]
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
  const pieces = halves.flatMap((half) => divided(picture, half))
  // Where dividing brought nothing, one larger piece is cheaper.
  return pieces.length === 2 && !pieces.some((piece) => piece.only) ? [{ rect, only: undefined }] : pieces
}

/**
 * The capture that alone is shown in a rectangle: it holds all of it, all fine detail is its own, and of coarse light nothing
 * but what no capture holds spreads in from beside it.
 */
function onlyPart({ wide, narrow, parts }: Picture, rect: Rect): Part | undefined {
  const { present, only } = wide(rect)
  const labels = [...present].filter((label) => label >= 0)
  const part = labels.length === 1 ? parts.find(({ index }) => index === labels[0]) : undefined
  if (!part || !holdsWhole(part, rect)) return undefined
  return only === part.index || narrow(rect).only === part.index ? part : undefined
}
