import type { Rect } from '../../../raster/Rect.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import { combinePair } from './combinePair.js'
import { cropped } from './cropped.js'
import type { FineDetail } from './FineDetail.js'
import { lightingWeights } from './lightingWeights.js'
import { type ReliefModel, underLamp } from './ReliefModel.js'

/** One lighting on a rectangle: its light, and how far it reaches at each pixel (see `lightingWeights`). */
export interface Lighting {
  turned: number
  tile: Tile
  reach: Float32Array
}

/**
 * All lightings as one light without relief: opposite ones in pairs (see combinePair.ts), what has no opposite as it is,
 * weighed together.
 * @param lightings on the rectangle `areaOf` gives for `rect`
 * @param rect what is wanted
 * @param fill what stands where no lighting reaches
 * @param fine what is known of pairs' finest detail
 */
export function combineTiles(
  lightings: readonly Lighting[],
  rect: Rect,
  model: ReliefModel,
  fill: readonly number[],
  fine: readonly FineDetail[] = [],
): Tile {
  const area = lightings[0].tile.rect
  const groups = groupsOf(lightings)
  const ofPair = (one: Lighting) => fine.find(({ turned }) => turned === one.turned)
  if (groups.length === 1 && lightings.every(({ reach }) => isWhole(reach))) {
    // The same bits as by the long way: all that weighs is 1.
    const [one, other] = lightings
    if (!other)
      return { rect, planes: one.tile.planes.map((plane) => cropped(plane, area, rect)) as Tile['planes'] }
    const planes = combinePair(
      ...([one.tile.planes, other.tile.planes, area, rect, underLamp(model, one.turned)] as const),
      ofPair(one),
    )
    return { rect, planes }
  }
  const out = emptyTile(rect)
  const weights = weightsOf(lightings)
  const total = new Float32Array(rect.width * rect.height)
  for (const group of groups) {
    const say = sum(group.map((k) => cropped(weights[k], area, rect)))
    if (!say.some((value) => value > 0)) continue
    const [one, other] = group.map((k) => lightings[k])
    const own = ofPair(one)
    const planes = other
      ? pairLight(
          one,
          other,
          weights[group[0]],
          weights[group[1]],
          rect,
          underLamp(model, one.turned),
          fill,
          own,
        )
      : one.tile.planes.map((plane) => cropped(plane, area, rect))
    for (let i = 0; i < total.length; i++) total[i] += say[i]
    out.planes.forEach((plane, c) => {
      const light = planes[c]
      for (let i = 0; i < plane.length; i++) plane[i] += say[i] * light[i]
    })
  }
  if (total.includes(0)) {
    out.planes.forEach((plane, c) => {
      for (let i = 0; i < plane.length; i++) if (total[i] === 0) plane[i] = fill[c]
    })
  }
  return out
}

/** Opposite lightings two by two, the others by themselves. */
function groupsOf(lightings: readonly Lighting[]): number[][] {
  const turned = lightings.map((lighting) => lighting.turned)
  return turned.flatMap((angle, k) => {
    const other = turned.indexOf((angle + 180) % 360)
    return other < 0 ? [[k]] : other > k ? [[k, other]] : []
  })
}

/** A pair's own combination as far as both reach, and their plain mixture else. */
function pairLight(
  one: Lighting,
  other: Lighting,
  weightOne: Float32Array,
  weightOther: Float32Array,
  rect: Rect,
  model: ReliefModel,
  fill: readonly number[],
  fine: FineDetail | undefined,
): Float32Array[] {
  const area = one.tile.rect
  if (isWhole(one.reach) && isWhole(other.reach)) {
    return combinePair(one.tile.planes, other.tile.planes, area, rect, model, fine)
  }
  const mixed = plainMixture(one, other, weightOne, weightOther, fill)
  const both = one.reach.map((value, i) => Math.min(value, other.reach[i]))
  const before = mixed.map((plane) => cropped(plane, area, rect))
  if (!both.some((value) => value > 0)) return before
  // Coming in from their borders: at a border both are what the mixture is there, which shows no slope.
  const [a, b] = [one, other].map(({ tile }) =>
    tile.planes.map((plane, c) => {
      const near = mixed[c].slice()
      for (let i = 0; i < near.length; i++)
        near[i] = both[i] === 1 ? plane[i] : near[i] + both[i] * (plane[i] - near[i])
      return near
    }),
  ) as [Tile['planes'], Tile['planes']]
  const pair = combinePair(a, b, area, rect, model, fine)
  const share = cropped(both, area, rect)
  before.forEach((plane, c) => {
    for (let i = 0; i < plane.length; i++) {
      plane[i] = share[i] === 1 ? pair[c][i] : plane[i] + share[i] * (pair[c][i] - plane[i])
    }
  })
  return before
}

function isWhole(reach: Float32Array): boolean {
  for (let i = 0; i < reach.length; i++) if (reach[i] !== 1) return false
  return true
}

function weightsOf(lightings: readonly Lighting[]): Float32Array[] {
  const turned = lightings.map((lighting) => lighting.turned)
  const count = lightings.length
  const length = lightings[0].reach.length
  const planes = lightings.map(() => new Float32Array(length))
  const reach = new Array<number>(count).fill(1)
  const weights = new Array<number>(count).fill(0)
  if (lightings.every((lighting) => isWhole(lighting.reach))) {
    lightingWeights(turned, reach, weights)
    planes.forEach((plane, k) => {
      plane.fill(weights[k])
    })
    return planes
  }
  for (let i = 0; i < length; i++) {
    for (let k = 0; k < count; k++) reach[k] = lightings[k].reach[i]
    lightingWeights(turned, reach, weights)
    for (let k = 0; k < count; k++) planes[k][i] = weights[k]
  }
  return planes
}

function sum(planes: readonly Float32Array[]): Float32Array {
  const [first, second] = planes
  if (second) for (let i = 0; i < first.length; i++) first[i] += second[i]
  return first
}

/** Two lightings weighed; one alone is taken bit for bit, and the fill stands where there is none. */
function plainMixture(
  one: Lighting,
  other: Lighting,
  weightOne: Float32Array,
  weightOther: Float32Array,
  fill: readonly number[],
): Tile['planes'] {
  return fill.map((value, c) => {
    const [first, second] = [one.tile.planes[c], other.tile.planes[c]]
    const out = new Float32Array(first.length)
    for (let i = 0; i < out.length; i++) {
      const total = weightOne[i] + weightOther[i]
      if (total === 0) out[i] = value
      else if (weightOther[i] === 0) out[i] = first[i]
      else if (weightOne[i] === 0) out[i] = second[i]
      else out[i] = (weightOne[i] * first[i] + weightOther[i] * second[i]) / total
    }
    return out
  }) as Tile['planes']
}
