import { bringPlanes, type HeldPlanes, heldRegion, takePlanes } from '../heldRegion.js'
import { holding, kernels } from '../kernels/kernels.js'
import { padded } from '../padded.js'
import type { Rect } from '../Rect.js'
import type { Source } from '../Source.js'
import { emptyTile, type Tile } from '../Tile.js'
import { axesOf } from './axesOf.js'
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
  if (!lens && isCopy(map)) return copied(padded(source, areaOf(map, rect, 1)), map, rect)
  const planes = resampled(source, map, rect, lens, (held) => takePlanes(held, rect.width * rect.height))
  return { rect, planes }
}

/**
 * The same, handed over in kernel memory, where it may be changed.
 * @param use is given the result and returns what is made of it
 */
export function warpHeld<T>(
  source: Source,
  map: PlaneMap,
  rect: Rect,
  lens: Lens | undefined,
  use: (planes: HeldPlanes) => T,
): T {
  if (lens || !isCopy(map)) return resampled(source, map, rect, lens, use)
  const { planes } = warpTile(source, map, rect)
  const bytes = planes[0].byteLength + 16
  return holding([bytes, bytes, bytes], (r, g, b) => {
    bringPlanes(planes, [r, g, b])
    return use([r, g, b])
  })
}

/**
 * What of the picture a rectangle of the result is made of.
 * @param spare pixels more on each side than the taps reach
 */
function areaOf(map: PlaneMap, rect: Rect, spare: number, lens?: Lens): Rect {
  const corners = outlineOf(map, rect, lens)
  const [us, vs] = [corners.map(([u]) => u), corners.map(([, v]) => v)]
  const x = Math.floor(Math.min(...us)) - TAPS_BEFORE - spare
  const y = Math.floor(Math.min(...vs)) - TAPS_BEFORE - spare
  const right = Math.floor(Math.max(...us)) + TAPS - TAPS_BEFORE + spare
  const bottom = Math.floor(Math.max(...vs)) + TAPS - TAPS_BEFORE + spare
  return { x, y, width: right - x, height: bottom - y }
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

/** Bytes that the kernel `warpByAxes` works with for each row of the patch. */
const WORK_BYTES = 512

function resampled<T>(
  source: Source,
  map: PlaneMap,
  rect: Rect,
  lens: Lens | undefined,
  use: (planes: HeldPlanes) => T,
): T {
  const axes = lens ? undefined : axesOf(map)
  // Corners are rounded here in another order than in the kernel, a lens bends the outline between the points looked at, and
  // axis by axis a row off a pixel's own is read a little beside it.
  const area = areaOf(map, rect, axes ? 2 : 1, lens)
  table ??= tapTable()
  const taps = table
  const bytes = area.width * area.height * 4 + 16
  const outBytes = rect.width * rect.height * 4 + 16
  const work = axes ? WORK_BYTES * area.height : 0
  return holding(
    [bytes, bytes, bytes, taps.byteLength, 112, work, outBytes, outBytes, outBytes],
    (r, g, b, tapsAt, mapAt, workAt, ...out) => {
      bringArea(source, area, [r, g, b])
      const { memory, warpPatch, warpByAxes } = kernels()
      new Float32Array(memory.buffer, tapsAt, taps.length).set(taps)
      const numbers = new Float64Array(memory.buffer, mapAt, 14)
      numbers.set(axes ? axes.numbers : map)
      if (lens)
        numbers.set([lens.x, lens.y, 1 / (lens.unitPx * lens.unitPx), lens.k1, lens.k2, HELD_BEYOND], 8)
      const { width, height } = rect
      const [outR, outG, outB] = out
      if (axes) {
        // The kernel's columns are the result's rows where the picture lies a quarter turned.
        const x = { first: rect.x, count: width, step: 4 }
        const y = { first: rect.y, count: height, step: width * 4 }
        const [columns, rows] = axes.sideways ? [y, x] : [x, y]
        // biome-ignore format: the patch, how to read it, what to fill
        warpByAxes(
          r, g, b, area.width * 4, area.x, area.y, area.height, tapsAt, mapAt, workAt,
          columns.first, rows.first, columns.count, rows.count, outR, outG, outB, columns.step, rows.step,
        )
      } else {
        // biome-ignore format: the patch, how to read it, what to fill
        warpPatch(
          r, g, b, area.width * 4, area.x, area.y, tapsAt, mapAt,
          lens !== undefined, rect.x, rect.y, width, height, outR, outG, outB,
        )
      }
      return use([outR, outG, outB])
    },
  )
}

/** An area of the picture in kernel memory; what lies outside is the picture mirrored at its border. */
function bringArea(source: Source, area: Rect, planes: HeldPlanes): void {
  const inside =
    area.x >= 0 && area.y >= 0 && area.x + area.width <= source.width && area.y + area.height <= source.height
  if (inside) heldRegion(source, area, planes)
  else bringPlanes(padded(source, area).planes, planes)
}
