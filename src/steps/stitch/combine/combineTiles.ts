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
  const turned = lightings.map((lighting) => lighting.turned)
  const weights = weightsOf(lightings, turned)
  const out = emptyTile(rect)
  const mixed = plainMixture(lightings, weights, fill)
  out.planes.forEach((plane, c) => {
    plane.set(cropped(mixed[c], area, rect))
  })
  for (let k = 0; k < lightings.length; k++) {
    const other = turned.indexOf((turned[k] + 180) % 360)
    if (other > k) improve(out, lightings[k], lightings[other], weights[k], weights[other], model, fill, fine)
  }
  return out
}

/** What the pair's own combination is better by than its plain mixture, added as far as both reach. */
function improve(
  out: Tile,
  one: Lighting,
  other: Lighting,
  weightOne: Float32Array,
  weightOther: Float32Array,
  model: ReliefModel,
  fill: readonly number[],
  fine: readonly FineDetail[],
): void {
  const area = one.tile.rect
  const mixed = plainMixture([one, other], [weightOne, weightOther], fill)
  const both = one.reach.map((value, i) => Math.min(value, other.reach[i]))
  if (!both.some((value) => value > 0)) return
  // Coming in from their borders: at a border both are what the mixture is there, which shows no slope.
  const [a, b] = [one, other].map(({ tile }) =>
    tile.planes.map((plane, c) => {
      const near = mixed[c].slice()
      for (let i = 0; i < near.length; i++) if (both[i] > 0) near[i] += both[i] * (plane[i] - near[i])
      return near
    }),
  ) as [Tile['planes'], Tile['planes']]
  const own = fine.find(({ turned }) => turned === one.turned)
  const pair = combinePair(a, b, area, out.rect, underLamp(model, one.turned), own)
  const [share, say] = [
    cropped(both, area, out.rect),
    cropped(
      weightOne.map((value, i) => value + weightOther[i]),
      area,
      out.rect,
    ),
  ]
  out.planes.forEach((plane, c) => {
    const before = cropped(mixed[c], area, out.rect)
    for (let i = 0; i < plane.length; i++) {
      if (share[i] > 0) plane[i] += share[i] * say[i] * (pair[c][i] - before[i])
    }
  })
}

function weightsOf(lightings: readonly Lighting[], turned: readonly number[]): Float32Array[] {
  const count = lightings.length
  const length = lightings[0].reach.length
  const planes = lightings.map(() => new Float32Array(length))
  const reach = new Array<number>(count).fill(0)
  const weights = new Array<number>(count).fill(0)
  for (let i = 0; i < length; i++) {
    for (let k = 0; k < count; k++) reach[k] = lightings[k].reach[i]
    lightingWeights(turned, reach, weights)
    for (let k = 0; k < count; k++) planes[k][i] = weights[k]
  }
  return planes
}

/** Lightings weighed; one alone is taken bit for bit, and the fill stands where there is none. */
function plainMixture(
  lightings: readonly Lighting[],
  weights: readonly Float32Array[],
  fill: readonly number[],
): Tile['planes'] {
  const total = new Float32Array(weights[0].length)
  for (const plane of weights) for (let i = 0; i < total.length; i++) total[i] += plane[i]
  return fill.map((value, c) => {
    const out = new Float32Array(total.length)
    for (let i = 0; i < out.length; i++) {
      if (total[i] === 0) {
        out[i] = value
        continue
      }
      let sum = 0
      for (let k = 0; k < lightings.length; k++) {
        const weight = weights[k][i]
        if (weight === 0) continue
        const light = lightings[k].tile.planes[c][i]
        sum += weight === total[i] ? light : (weight / total[i]) * light
      }
      out[i] = sum
    }
    return out
  }) as Tile['planes']
}
