import type { Tile } from '../../../raster/Tile.js'
import { cosineWindows } from './cosineWindows.js'
import { FINE_COUNT, FINE_PX, type FineDetail } from './FineDetail.js'
import { fitNoise } from './fitNoise.js'
import { LIGHT, lightOf } from './slopes.js'

/** Pixels between windows that are learned from. */
const STEP = 4
/** Windows with less of a coefficient than half of them show noise and slopes, those with more than this share picture. */
const BUSY = 0.97
/** Power of a coefficient from which it may stand for the picture, and so many there must be. */
const LEAST_POWER = 3e-5
const FEWEST_BUSY = 50
/** Coefficients of fewer half waves than this in both directions show the same of the picture in any two captures. */
const FINEST = 4
/** Surely one is the sharper where this share of what a lossless one would show more is measured. */
const SURE_SHARE = 1 / 3
/** Luminance's noise is taken for no more than the windows show that show least. */
const QUIET = 0.2
/** And this share of that: rather a little noise than a grain of pigment less. */
const TAKEN = 0.8

/**
 * Learns what a pair of lightings says of its finest detail: noise from what the colours of the two differ by, as relief
 * has no colour; slopes from the rest of their difference where there is little picture; which of the two is the sharper
 * from where there is much.
 * @param windows both lightings' light on the sheet, 64 x 64 pixels each, taken all over it
 * @returns undefined where nothing can be learned: too little sheet, or no noise
 */
export function learnFine(
  windows: readonly (readonly [Tile['planes'], Tile['planes']])[],
  turned: FineDetail['turned'],
): FineDetail | undefined {
  const fitted = fitNoise(windows)
  if (!fitted) return undefined
  const { noise, readout, photon } = fitted
  const pairs = windows.map(([a, b]) => {
    const side = Math.round(Math.sqrt(a[0].length))
    const [rootA, rootB] = [a, b].map((planes) => lightOf(planes).map(Math.sqrt))
    const mean = a.map((plane, c) => plane.map((value, i) => Math.sqrt(Math.max(0, (value + b[c][i]) / 2))))
    return {
      ...{ first: cosineWindows(rootA, side, STEP), second: cosineWindows(rootB, side, STEP) },
      mean: mean.map((plane) => cosineWindows(plane, side, STEP)),
    }
  })
  const count = pairs.reduce((sum, { first }) => sum + first.length / FINE_COUNT, 0)
  const [level, quiet] = [new Float64Array(count), new Float64Array(count)]
  let at = 0
  for (const { mean } of pairs) {
    for (let k = 0; k < mean[0].length; k += FINE_COUNT, at++) {
      const light = mean.map((plane) => (plane[k] / FINE_PX) ** 2)
      level[at] = Math.max(1e-3, LIGHT[0] * light[0] + LIGHT[1] * light[1] + LIGHT[2] * light[2])
      // Luminance's noise: each channel's as far as the root of light follows it.
      quiet[at] = LIGHT.reduce(
        (sum, weight, c) =>
          sum + ((weight * weight * light[c]) / level[at]) * (readout / Math.max(light[c], 0.02) + photon),
        0,
      )
    }
  }
  const [slopes, differing, sharper] = [0, 1, 2].map(() => new Array<number>(FINE_COUNT).fill(0))
  let luminanceShare = 1
  const [own, power, half, surplus] = [0, 1, 2, 3].map(() => new Float64Array(count))
  for (let u = 0; u < FINE_COUNT; u++) {
    at = 0
    for (const { first, second } of pairs) {
      for (let k = u; k < first.length; k += FINE_COUNT, at++) {
        power[at] = ((first[k] + second[k]) / 2) ** 2
        half[at] = ((first[k] - second[k]) / 2) ** 2
        surplus[at] = first[k] ** 2 - second[k] ** 2
      }
    }
    own.set(power)
    own.sort()
    const [middle, busy] = [own[count >> 1], Math.max(LEAST_POWER, own[Math.floor(BUSY * count)])]
    const calm = meansWhere((i) => power[i] <= middle, { half, quiet, level, surplus })
    const often = noise[u] * calm.quiet
    slopes[u] = Math.max(0, calm.half - often) / calm.level
    if (u > 0) luminanceShare = Math.min(luminanceShare, calm.half / Math.max(often, 1e-20))
    if (Math.max(u % FINE_PX, Math.floor(u / FINE_PX)) < FINEST) continue
    const picture = meansWhere((i) => power[i] > busy, { half, surplus, power })
    if (picture.count < FEWEST_BUSY) continue
    const share = Math.min(1, Math.max(0, (4 * (picture.half - calm.half)) / picture.power))
    const lost = Math.sqrt(share)
    const lossless = Math.max(1e-3, lost * (2 - lost))
    const more = (picture.surplus - calm.surplus) / picture.power
    differing[u] = share
    sharper[u] = Math.max(-1, Math.min(1, more / (SURE_SHARE * lossless)))
  }
  luminanceShare = Math.min(luminanceShare, quietest(pairs, noise, quiet))
  return {
    turned,
    readout,
    photon,
    noise,
    luminanceShare: TAKEN * luminanceShare,
    slopes,
    differing,
    sharper,
  }
}

function meansWhere<K extends string>(
  counts: (i: number) => boolean,
  planes: Record<K, Float64Array>,
): Record<K | 'count', number> {
  const names = Object.keys(planes) as K[]
  const sums = Object.fromEntries(names.map((name) => [name, 0])) as Record<K | 'count', number>
  sums.count = 0
  for (let i = 0; i < planes[names[0]].length; i++) {
    if (!counts(i)) continue
    sums.count++
    for (const name of names) sums[name] += planes[name][i]
  }
  for (const name of names) sums[name] /= Math.max(1, sums.count)
  return sums
}

/** Power of luminance's finest coefficients over their noise, in the windows that show least. */
function quietest(
  pairs: readonly { first: Float32Array; second: Float32Array }[],
  noise: readonly number[],
  quiet: Float64Array,
): number {
  const shares: number[] = []
  for (const { first, second } of pairs) {
    for (let k = 0; k < first.length; k += FINE_COUNT) {
      let [power, expected] = [0, 0]
      for (let u = 0; u < FINE_COUNT; u++) {
        if (Math.min(u % FINE_PX, Math.floor(u / FINE_PX)) < FINEST) continue
        power += ((first[k + u] + second[k + u]) / 2) ** 2
        expected += noise[u]
      }
      shares.push(power / (expected * quiet[shares.length]))
    }
  }
  shares.sort((p, q) => p - q)
  return shares[Math.floor(QUIET * shares.length)]
}
