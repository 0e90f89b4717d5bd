import { reduce } from '../../../raster/reduce.js'
import { reduceWhole } from '../../../raster/reduceWhole.js'
import type { Source } from '../../../raster/Source.js'
import type { Tile } from '../../../raster/Tile.js'
import { structure } from './structure.js'
import { toCapturePixels, type Upright } from './Upright.js'
import type { LightLevel, View, ViewSize } from './View.js'

const FINE_SIGMA_PX = 0.8
const COARSE_SIGMA_PX = 5

/** A capture reduced, upright, with its structure, on shared memory. One pass over it. */
export function takeView(source: Source, upright: Upright, { cell, depth }: ViewSize): View {
  const factor = Math.max(1, Math.round(cell / upright.scale))
  const tile = reduceWhole(source, factor)
  return viewOf(upright, rescaled(turnedBack(tile, upright), factor * upright.scale, cell, upright), depth)
}

function viewOf(upright: Upright, light: LightLevel, depth: number): View {
  const levels = levelsOf(light, depth).map((level) => ({ ...level, planes: shared(level.planes) }))
  return { upright, light: { ...light, planes: shared(light.planes) }, levels }
}

/** Planes on shared memory, so that handing them to a worker copies nothing. */
const shared = (planes: Tile['planes']) =>
  planes.map((plane) => {
    const copy = new Float32Array(new SharedArrayBuffer(plane.byteLength))
    copy.set(plane)
    return copy
  }) as Tile['planes']

/** A view turned back by quarters more than its capture was thought to have lain. */
export function turnView({ upright: before, light, levels }: View, quarter: Upright['turned']): View {
  const sideways = quarter % 180 !== 0
  const upright: Upright = {
    ...before,
    turned: quarter,
    width: sideways ? before.height : before.width,
    height: sideways ? before.width : before.height,
  }
  const { width, height, cell, planes } = light
  const turned = turnedBack({ rect: { x: 0, y: 0, width, height }, planes }, upright)
  const again = rescaled(turned, cell, cell, upright)
  const lay = { ...upright, turned: ((before.turned + quarter) % 360) as Upright['turned'] }
  return viewOf(lay, again, levels.length)
}

function levelsOf(light: LightLevel, depth: number): View['levels'] {
  const levels: View['levels'] = []
  let { width, height, cell, planes } = light
  for (;;) {
    levels.push({ cell, ...structure(planes, width, height, FINE_SIGMA_PX, COARSE_SIGMA_PX) })
    if (levels.length === depth) return levels
    const half: Tile = reduce({ rect: { x: 0, y: 0, width, height }, planes }, 2)
    ;({ width, height } = half.rect)
    planes = half.planes
    cell *= 2
  }
}

/** The view with the sheet upright. A partial last block would come to lie first: it is left out by `rescaled`. */
function turnedBack({ rect, planes }: Tile, upright: Upright): Tile {
  if (upright.turned === 0) return { rect, planes }
  const sideways = upright.turned % 180 !== 0
  const width = sideways ? rect.height : rect.width
  const height = sideways ? rect.width : rect.height
  const [a, b, c, d, e, f] = toCapturePixels({ ...upright, width, height })
  const turned = planes.map((plane) => {
    const out = new Float32Array(plane.length)
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        out[y * width + x] = plane[(d * x + e * y + f) * rect.width + a * x + b * y + c]
      }
    }
    return out
  }) as Tile['planes']
  return { rect: { x: 0, y: 0, width, height }, planes: turned }
}

/**
 * A turned-back view brought to `cell` finest pixels a pixel, beginning at the upright capture's top left corner. Where
 * turning put the partial last block first, or the capture's own resolution allows no whole factor, it is interpolated.
 */
function rescaled({ rect, planes }: Tile, from: number, cell: number, upright: Upright): LightLevel {
  const block = from / upright.scale
  const spare = (blocks: number, pixels: number) => (blocks * block - pixels) * upright.scale
  const { turned, scale } = upright
  const left = turned === 180 || turned === 270 ? spare(rect.width, upright.width) : 0
  const top = turned === 180 || turned === 90 ? spare(rect.height, upright.height) : 0
  if (from === cell && left === 0 && top === 0)
    return { width: rect.width, height: rect.height, cell, planes }
  const width = Math.max(1, Math.floor((upright.width * scale) / cell))
  const height = Math.max(1, Math.floor((upright.height * scale) / cell))
  const out = planes.map(() => new Float32Array(width * height)) as LightLevel['planes']
  for (let y = 0; y < height; y++) {
    const v = Math.min(Math.max(((y + 0.5) * cell + top) / from - 0.5, 0), rect.height - 1)
    const y0 = Math.min(Math.floor(v), Math.max(0, rect.height - 2))
    const y1 = Math.min(y0 + 1, rect.height - 1)
    for (let x = 0; x < width; x++) {
      const u = Math.min(Math.max(((x + 0.5) * cell + left) / from - 0.5, 0), rect.width - 1)
      const x0 = Math.min(Math.floor(u), Math.max(0, rect.width - 2))
      const x1 = Math.min(x0 + 1, rect.width - 1)
      for (let c = 0; c < 3; c++) {
        const p = planes[c]
        const upper = p[y0 * rect.width + x0] * (1 - u + x0) + p[y0 * rect.width + x1] * (u - x0)
        const lower = p[y1 * rect.width + x0] * (1 - u + x0) + p[y1 * rect.width + x1] * (u - x0)
        out[c][y * width + x] = upper * (1 - v + y0) + lower * (v - y0)
      }
    }
  }
  return { width, height, cell, planes: out }
}
