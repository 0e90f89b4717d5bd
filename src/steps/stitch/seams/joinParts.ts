import type { Rect } from '../../../raster/Rect.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import type { StitchReading } from '../Reading.js'
import { boundsOf } from './boundsOf.js'
import type { CellShares } from './cellShares.js'
import type { CoarseSteps } from './coarseSteps.js'
import { mixCoarse } from './mixCoarse.js'
import { holdsWhole, type Part, pieceOf, rampOf } from './Part.js'

/** A layer as a worker needs it. */
export interface Picture {
  turned: number
  parts: readonly Part[]
  /** How fine detail is shared out, and how coarse light. */
  narrow(rect: Rect): CellShares
  wide(rect: Rect): CellShares
  /** Absent where only one capture is joined. */
  coarse?: CoarseSteps
}

/**
 * A rectangle of one layer: detail by the narrow weights, coarse light by the wide ones.
 * @param fill light of what no capture holds
 * @param rect in sheet pixels
 */
export function joinParts(picture: Picture, fill: StitchReading['fill'], rect: Rect): Tile {
  const { parts, coarse } = picture
  const wide = picture.wide(rect)
  const shares = wide.only === undefined ? picture.narrow(rect) : wide
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
  if (coarse && wide.only === undefined) mixCoarse(out, parts, weighed, wide, coarse)
  return out
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
