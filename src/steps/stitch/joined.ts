import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { distorted, type Lens } from '../../raster/warp/Lens.js'
import { invertedMap, isExactCopyOf, mapPoint, type PlaneMap, slopesAt } from '../../raster/warp/PlaneMap.js'
import { warpTile } from '../../raster/warp/warpTile.js'
import { areaOf } from './combine/areaOf.js'
import { combineTiles } from './combine/combineTiles.js'
import type { Combining } from './combine/Layer.js'
import { PLAIN } from './combine/ReliefModel.js'
import { fieldOnSheet, levelOut, type SheetField } from './light/levelOut.js'
import type { SeamMap, StitchReading } from './Reading.js'
import { type CellShares, cellShares, NARROW, wideSpread } from './seams/cellShares.js'
import {
  addSteps,
  type CellLight,
  type Cells,
  cellsAbout,
  coarseSteps,
  gatherCells,
  lightOnCells,
  pixelsOf,
} from './seams/coarseLight.js'
import { fromRuns } from './seams/runs.js'

/** One capture as a worker needs it. */
interface Part {
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
  /** Coarse light made lately. */
  blocks: Map<string, CellLight>
}

/** Cells over which a capture's weight rises from its own border, so that none ends with a step. */
const RAMP_CELLS = 1.5
/** Sheet pixels over which its say in coarse light does. */
const WIDE_RAMP_PX = 48

/**
 * The sheet in two bands: fine detail follows the seam map over a narrow transition, so that nothing is seen twice where
 * captures lie a little apart, and coarse light over a wide one, so that what their light differs by has no edge. The
 * coarse band is a factor, not a sum: light that differs differs by a share, and a dark line is not lifted by what the
 * paper beside it lacks. Where lightings are combined, each is made so and they are combined in turn. Each capture is
 * interpolated once, by the composition of all its geometry. Same pixels, same bits, whatever the region asked for.
 * Source: P. J. Burt, E. H. Adelson, "A multiresolution spline with application to image mosaics", ACM Trans. Graphics
 * 2(4), 1983, pp. 217-236, doi:10.1145/245.247 (bands, each with a transition of its own size).
 */
export function joined(sources: readonly Source[], reading: StitchReading): Source {
  const { width, height, fill, layers } = reading
  const parts: Part[] = []
  for (const [index, { placed }] of reading.captures.entries()) {
    if (!placed) continue
    const { toSheet, lens, gain, field } = placed
    const fromSheet = invertedMap(toSheet)
    const { width: across, height: down } = sources[index]
    const scale = scaleOf(fromSheet, ...mapPoint(toSheet, (across - 1) / 2, (down - 1) / 2))
    parts.push({
      index,
      source: sources[index],
      fromSheet,
      lens,
      gain,
      field: fieldOnSheet(field, fromSheet, sources[index], lens),
      scale,
      blocks: new Map(),
      rampPx: RAMP_CELLS * layers[0].seams.cellPx * scale,
    })
  }
  if (parts.length === 1 && isExactCopyOf(parts[0].fromSheet, parts[0].source, { width, height })) {
    if (!parts[0].lens && parts[0].gain.every((gain) => gain === 1) && !parts[0].field) return parts[0].source
  }
  const combining = reading.combining ?? { featherPx: 0, severalShare: 0, opposedShare: 0 }
  const pictures = layers.map(({ turned = 0, captures, seams }) => ({
    turned,
    seams,
    parts: parts.filter(({ index }) => captures.includes(index)),
    labels: fromRuns(seams.runs, seams.width * seams.height),
    spread: wideSpread(seams.cellPx),
  }))
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      return pictures.length === 1
        ? join(pictures[0], fill, rect)
        : combined(pictures, combining, reading, rect)
    },
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

/** A layer as a worker needs it. */
interface Picture {
  turned: number
  parts: readonly Part[]
  labels: Int16Array
  seams: SeamMap
  /** See `wideSpread`. */
  spread: readonly number[]
}

/**
 * Lightings that reach a rectangle or its surroundings, each joined for itself. Around the sheet it is mirrored, as
 * combining looks at a place's neighbours.
 */
function combined(
  pictures: readonly Picture[],
  { featherPx, model = PLAIN }: Combining,
  { width, height, fill }: StitchReading,
  rect: Rect,
): Tile {
  const area = areaOf(rect, model)
  const lightings = pictures.flatMap((picture) => {
    const reaches: Source = {
      ...{ width, height },
      region(part) {
        const reach = reachOf(picture, featherPx, part)
        return { rect: part, planes: [reach, reach, reach] }
      },
    }
    const [reach] = padded(reaches, area).planes
    return reach.some((value) => value > 0) ? [{ picture, reach }] : []
  })
  if (lightings.length < 2) return join(lightings[0]?.picture ?? pictures[0], fill, rect)
  return combineTiles(
    lightings.map(({ picture, reach }) => ({
      turned: picture.turned,
      reach,
      tile: padded({ width, height, region: (part) => join(picture, fill, part) }, area),
    })),
    rect,
    model,
    fill,
  )
}

/** How far inside what a layer covers each pixel lies: 0 at its border, 1 from `featherPx` on. */
function reachOf({ parts }: Picture, featherPx: number, rect: Rect): Float32Array {
  const reach = new Float32Array(rect.width * rect.height)
  for (const part of parts) {
    const ramp = rampOf(part, rect, featherPx * part.scale)
    for (let i = 0; i < reach.length; i++) reach[i] = Math.max(reach[i], ramp[i])
  }
  return reach
}

function join(picture: Picture, fill: StitchReading['fill'], rect: Rect): Tile {
  const { parts, labels, seams, spread } = picture
  const wide = cellShares(labels, seams, rect, spread)
  const shares = wide.only === undefined ? cellShares(labels, seams, rect, NARROW) : wide
  const out = emptyTile(rect)
  const only = wide.only === undefined ? undefined : parts.find(({ index }) => index === wide.only)
  if (only && holdsWhole(only, rect)) {
    add(out, pieceOf(only, rect), only.gain, undefined)
    return out
  }
  const n = rect.width * rect.height
  const total = new Float32Array(n)
  const weighed = parts
    .filter(({ index }) => shares.present.has(index))
    .map((part) => {
      const weight = shares.weights(part.index)
      const ramp = rampOf(part, rect, part.rampPx)
      for (let i = 0; i < n; i++) total[i] += weight[i] *= ramp[i]
      return { part, weight }
    })
  for (const { weight } of weighed) for (let i = 0; i < n; i++) if (total[i] > 0) weight[i] /= total[i]
  if (total.includes(0)) fillGaps(parts, weighed, total, out, fill, rect)
  for (const { part, weight } of weighed) {
    const needed = boundsOf(weight, rect)
    if (!needed) continue
    add(out, pieceOf(part, needed), part.gain, weight)
  }
  if (wide.only === undefined) mixCoarse(out, parts, weighed, wide)
  return out
}

/** Moves coarse light from what the narrow weights took to what the wide ones ask for; the tile changes in place. */
function mixCoarse(
  { rect, planes }: Tile,
  parts: readonly Part[],
  narrow: readonly { part: Part; weight: Float32Array }[],
  shares: CellShares,
): void {
  const n = rect.width * rect.height
  const total = new Float32Array(n)
  const reaching = parts
    .filter(({ index }) => shares.present.has(index))
    .map((part) => {
      const wide = shares.weights(part.index)
      const ramp = rampOf(part, rect, WIDE_RAMP_PX * part.scale)
      for (let i = 0; i < n; i++) total[i] += wide[i] *= ramp[i]
      return { part, wide, fine: narrow.find((one) => one.part === part)?.weight ?? new Float32Array(n) }
    })
  const pairs = reaching.flatMap((one, k) =>
    reaching.slice(k + 1).flatMap((other) => {
      // Where one gives the detail the other's light comes in, and the other way round.
      const weight = new Float32Array(n)
      for (let i = 0; i < n; i++) {
        if (total[i] > 0) weight[i] = (other.fine[i] * one.wide[i] - one.fine[i] * other.wide[i]) / total[i]
      }
      return weight.some((value) => value !== 0) ? [{ one: one.part, other: other.part, weight }] : []
    }),
  )
  const any = new Float32Array(n)
  for (const { weight } of pairs) for (let i = 0; i < n; i++) if (weight[i] !== 0) any[i] = 1
  const needed = boundsOf(any, rect)
  if (!needed) return
  const lights = new Map<Part, CellLight>()
  const logs = planes.map(() => new Float32Array(n))
  const cells = cellsAbout(needed)
  const lightOf = (part: Part) => {
    const known = lights.get(part) ?? gatherCells(cells, part.blocks, (block) => cellsOf(part, block))
    lights.set(part, known)
    return known
  }
  for (const { one, other, weight } of pairs) {
    addSteps(logs, coarseSteps(lightOf(one), lightOf(other), cells), cells, weight, rect)
  }
  for (const [c, plane] of planes.entries()) {
    for (let i = 0; i < n; i++) if (logs[c][i] !== 0) plane[i] *= Math.exp(logs[c][i])
  }
}

const cellsOf = (part: Part, cells: Cells): CellLight =>
  lightOnCells(pieceOf(part, pixelsOf(cells)), cells, part.gain, (cell) => holdsWhole(part, cell))

/** A capture's light on a rectangle of the sheet, its field evened out. */
function pieceOf({ source, fromSheet, lens, field }: Part, rect: Rect): Tile {
  const piece = warpTile(source, fromSheet, rect, lens)
  if (field) levelOut(piece, field)
  return piece
}

/**
 * Whether a capture holds every pixel of a rectangle: its corners decide, as both are convex, but for what a lens may bend
 * an edge outwards between them (its length squared times the largest second derivative of the distortion, over 8).
 * @param insidePx how far inside the capture's outermost pixel centres
 */
function holdsWhole(part: Part, { x, y, width, height }: Rect, insidePx = -0.49): boolean {
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
function rampOf(part: Part, rect: Rect, rampPx: number): Float32Array {
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

/** Pixels no weighed capture holds: the capture that holds them deepest, or else the fill. */
function fillGaps(
  parts: readonly Part[],
  weighed: { part: Part; weight: Float32Array }[],
  total: Float32Array,
  out: Tile,
  fill: StitchReading['fill'],
  rect: Rect,
): void {
  const ramps = parts.map((part) => ({ part, ramp: rampOf(part, rect, part.rampPx) }))
  for (let i = 0; i < total.length; i++) {
    if (total[i] > 0) continue
    let best: { part: Part; ramp: Float32Array } | undefined
    for (const candidate of ramps) {
      if (candidate.ramp[i] > (best?.ramp[i] ?? 0)) best = candidate
    }
    if (!best) {
      for (let c = 0; c < 3; c++) out.planes[c][i] = fill[c]
      continue
    }
    let target = weighed.find(({ part }) => part === best.part)
    if (!target) {
      target = { part: best.part, weight: new Float32Array(total.length) }
      weighed.push(target)
    }
    target.weight[i] = 1
  }
}

/** The smallest rectangle that holds every weight but 0. */
function boundsOf(weight: Float32Array, { x, y, width, height }: Rect): Rect | undefined {
  let [x0, x1, y0, y1] = [width, -1, height, -1]
  for (let j = 0; j < height; j++) {
    const row = j * width
    let first = 0
    while (first < width && weight[row + first] === 0) first++
    if (first === width) continue
    let last = width - 1
    while (weight[row + last] === 0) last--
    x0 = Math.min(x0, first)
    x1 = Math.max(x1, last)
    y0 = Math.min(y0, j)
    y1 = j
  }
  return x1 < 0 ? undefined : { x: x + x0, y: y + y0, width: x1 - x0 + 1, height: y1 - y0 + 1 }
}

/** Adds `weight` times gain times a piece; the weights are those of the whole target, 1 where there are none. */
function add(out: Tile, piece: Tile, gain: Part['gain'], weight: Float32Array | undefined): void {
  const { x, y, width, height } = piece.rect
  const stride = out.rect.width
  out.planes.forEach((plane, c) => {
    const from = piece.planes[c]
    const factor = Math.fround(gain[c])
    for (let j = 0; j < height; j++) {
      let to = (y - out.rect.y + j) * stride + x - out.rect.x
      for (let i = j * width; i < (j + 1) * width; i++, to++) {
        // Rounded to float32 before the weight, with and without one: the same bits either way.
        const value = Math.fround(from[i] * factor)
        plane[to] += weight ? value * weight[to] : value
      }
    }
  })
}
