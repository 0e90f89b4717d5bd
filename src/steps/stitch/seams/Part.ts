import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import type { Tile } from '../../../raster/Tile.js'
import { distorted, type Lens } from '../../../raster/warp/Lens.js'
import { invertedMap, mapPoint, type PlaneMap, slopesAt } from '../../../raster/warp/PlaneMap.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
import { fieldOnSheet, levelOut, type SheetField } from '../light/levelOut.js'
import type { PlacedCapture } from '../Reading.js'

/** One capture as a worker needs it. */
export interface Part {
  index: number
  source: Source
  fromSheet: PlaneMap
  lens: Lens | undefined
  gain: readonly [number, number, number]
  /** What its light is multiplied by at each pixel of the sheet, besides; undefined: nothing. */
  field: SheetField | undefined
  /** Capture pixels a sheet pixel. */
  scale: number
  /** Capture pixels over which its weight rises from its border inwards. */
  rampPx: number
}

/** Cells over which a capture's weight rises from its own border, so that none ends with a step. */
const RAMP_CELLS = 1.5

/**
 * A placed capture ready to be asked.
 * @param cellPx side of the seam map's cells
 */
export function partOf(
  index: number,
  source: Source,
  { toSheet, lens, gain, field }: NonNullable<PlacedCapture['placed']>,
  cellPx: number,
): Part {
  const fromSheet = invertedMap(toSheet)
  const scale = scaleOf(fromSheet, ...mapPoint(toSheet, (source.width - 1) / 2, (source.height - 1) / 2))
  return {
    ...{ index, source, fromSheet, lens, gain, scale },
    field: fieldOnSheet(field, fromSheet, source, lens),
    rampPx: RAMP_CELLS * cellPx * scale,
  }
}

/** Capture pixels a sheet pixel at a place of the sheet. */
function scaleOf(fromSheet: PlaneMap, x: number, y: number): number {
  const [xx, xy, yx, yy] = slopesAt(fromSheet, x, y)
  return Math.sqrt(Math.abs(xx * yy - xy * yx))
}

/** Where a point of the sheet lies on a capture; far outside where the camera looks away from it. */
function locate({ fromSheet, lens }: Part, x: number, y: number): [x: number, y: number] {
  if (fromSheet[6] * x + fromSheet[7] * y + 1 <= 0) return [-1e9, -1e9]
  const [u, v] = mapPoint(fromSheet, x, y)
  return lens ? distorted(lens, u, v) : [u, v]
}

/** A capture's light on a rectangle of the sheet, its field evened out. */
export function pieceOf({ source, fromSheet, lens, field }: Part, rect: Rect): Tile {
  const piece = warpTile(source, fromSheet, rect, lens)
  if (field) levelOut(piece, field)
  return piece
}

/**
 * Whether a capture holds every pixel of a rectangle: its corners decide, as both are convex, but for what a lens may bend
 * an edge outwards between them (its length squared times the largest second derivative of the distortion, over 8).
 * @param insidePx how far inside the capture's outermost pixel centres
 */
export function holdsWhole(part: Part, { x, y, width, height }: Rect, insidePx = -0.49): boolean {
  const { source, lens, scale } = part
  const lengthPx = Math.max(width, height) * scale
  const bend = lens ? ((6 * Math.abs(lens.k1) + 20 * Math.abs(lens.k2)) * lengthPx ** 2) / 8 / lens.unitPx : 0
  return [
    [x, y],
    [x + width - 1, y],
    [x, y + height - 1],
    [x + width - 1, y + height - 1],
  ].every(([cx, cy]) => {
    const [u, v] = locate(part, cx, cy)
    // A little inside the border, so that rounding cannot decide otherwise for one pixel alone.
    return Math.min(u, v, source.width - 1 - u, source.height - 1 - v) > bend + insidePx
  })
}

/** 1 well inside a capture, falling to 0 at the outer edge of its pixels, 0 outside. */
export function rampOf(part: Part, rect: Rect, rampPx: number): Float32Array {
  const { source } = part
  const ramp = new Float32Array(rect.width * rect.height)
  if (holdsWhole(part, rect, rampPx)) return ramp.fill(1)
  const [m0, m1, m2, m3, m4, m5, m6, m7] = part.fromSheet
  const plain = m6 === 0 && m7 === 0 && !part.lens
  const [farX, farY] = [source.width - 0.5, source.height - 0.5]
  for (let j = 0, i = 0; j < rect.height; j++) {
    for (let k = 0; k < rect.width; k++, i++) {
      let u = m0 * (rect.x + k) + m1 * (rect.y + j) + m2
      let v = m3 * (rect.x + k) + m4 * (rect.y + j) + m5
      if (!plain) [u, v] = locate(part, rect.x + k, rect.y + j)
      const room = Math.min(u + 0.5, v + 0.5, farX - u, farY - v)
      ramp[i] = room <= 0 ? 0 : Math.min(1, room / rampPx)
    }
  }
  return ramp
}
