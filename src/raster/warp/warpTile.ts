import { kernels, scratch } from '../kernels/kernels.js'
import { padded } from '../padded.js'
import type { Rect } from '../Rect.js'
import type { Source } from '../Source.js'
import { emptyTile, type Tile } from '../Tile.js'
import { distorted, HELD_BEYOND, type Lens } from './Lens.js'
import { mapPoint, type PlaneMap } from './PlaneMap.js'
import { TAPS, TAPS_BEFORE, tapTable } from './tapTable.js'

let table: Float32Array | undefined

/**
 * A region of a picture seen through a map, in one interpolation (see tapTable.ts). Where the map only turns by quarters
 * and shifts by whole pixels, every value is an exact copy. What lies outside the picture is the picture mirrored at its
 * border. A pixel has the same bits whatever the region asked for.
 * @param source the picture read
 * @param map from the result's pixels to the picture's
 * @param rect of the result, any whole pixels
 * @param lens what the picture was seen through; the map then leads to where it would be seen without
 */
export function warpTile(source: Source, map: PlaneMap, rect: Rect, lens?: Lens): Tile {
  const corners = outlineOf(map, rect, lens)
  // One pixel more on each side than the taps reach: corners are rounded here in another order than in the kernel, and
  // a lens bends the outline between the points looked at.
  const left = Math.floor(Math.min(...corners.map(([u]) => u))) - TAPS_BEFORE - 1
  const top = Math.floor(Math.min(...corners.map(([, v]) => v))) - TAPS_BEFORE - 1
  const right = Math.floor(Math.max(...corners.map(([u]) => u))) + TAPS - TAPS_BEFORE + 1
  const bottom = Math.floor(Math.max(...corners.map(([, v]) => v))) + TAPS - TAPS_BEFORE + 1
  const patch = padded(source, { x: left, y: top, width: right - left, height: bottom - top })
  return !lens && isCopy(map) ? copied(patch, map, rect) : resampled(patch, map, rect, lens)
}

/** Pixels between points of a rectangle's outline that are looked at where a lens bends it. */
const OUTLINE_STEP_PX = 16

/** Where points of a rectangle's outline lie on the picture: its corners, and points between where a lens bends it. */
function outlineOf(map: PlaneMap, { x, y, width, height }: Rect, lens?: Lens): [number, number][] {
  const [right, below] = [x + width - 1, y + height - 1]
  if (!lens) {
    return [
      mapPoint(map, x, y),
      mapPoint(map, right, y),
      mapPoint(map, x, below),
      mapPoint(map, right, below),
    ]
  }
  const points: [number, number][] = []
  const add = (px: number, py: number) => points.push(distorted(lens, ...mapPoint(map, px, py)))
  for (let i = 0; ; i += OUTLINE_STEP_PX) {
    const [px, py] = [Math.min(x + i, right), Math.min(y + i, below)]
    add(px, y)
    add(px, below)
    add(x, py)
    add(right, py)
    if (px === right && py === below) return points
  }
}

/** Whether a map takes pixels to pixels. */
export function isCopy([m0, m1, m2, m3, m4, m5, m6, m7]: PlaneMap): boolean {
  const quarters =
    (m1 === 0 && m3 === 0 && Math.abs(m0) === 1 && Math.abs(m4) === 1) ||
    (m0 === 0 && m4 === 0 && Math.abs(m1) === 1 && Math.abs(m3) === 1)
  return quarters && Number.isInteger(m2) && Number.isInteger(m5) && m6 === 0 && m7 === 0
}

function copied(patch: Tile, map: PlaneMap, rect: Rect): Tile {
  const out = emptyTile(rect)
  const [u0, v0] = mapPoint(map, rect.x, rect.y)
  const stride = patch.rect.width
  const first = (v0 - patch.rect.y) * stride + u0 - patch.rect.x
  const across = map[3] * stride + map[0]
  const down = map[4] * stride + map[1]
  out.planes.forEach((plane, c) => {
    const from = patch.planes[c]
    for (let j = 0, to = 0; j < rect.height; j++) {
      let at = first + j * down
      for (let i = 0; i < rect.width; i++, at += across) plane[to++] = from[at]
    }
  })
  return out
}

function resampled(patch: Tile, map: PlaneMap, rect: Rect, lens?: Lens): Tile {
  table ??= tapTable()
  const { width, height } = rect
  const bytes = patch.planes[0].byteLength
  const outBytes = width * height * 4
  const [r, g, b, taps, mapAt, outR, outG, outB] = scratch(
    ...[bytes, bytes, bytes],
    table.byteLength,
    112,
    ...[outBytes, outBytes, outBytes],
  )
  const { memory, warpPatch } = kernels()
  for (const [at, values] of [
    [r, patch.planes[0]],
    [g, patch.planes[1]],
    [b, patch.planes[2]],
    [taps, table],
  ] as const) {
    new Float32Array(memory.buffer, at, values.length).set(values)
  }
  const numbers = new Float64Array(memory.buffer, mapAt, 14)
  numbers.set(map)
  if (lens) numbers.set([lens.x, lens.y, 1 / (lens.unitPx * lens.unitPx), lens.k1, lens.k2, HELD_BEYOND], 8)
  // biome-ignore format: the patch, how to read it, what to fill
  warpPatch(
    r, g, b, patch.rect.width * 4, patch.rect.x, patch.rect.y, taps, mapAt,
    lens !== undefined, rect.x, rect.y, width, height, outR, outG, outB,
  )
  const plane = (at: number) => new Float32Array(memory.buffer, at, width * height).slice()
  return { rect, planes: [plane(outR), plane(outG), plane(outB)] }
}
