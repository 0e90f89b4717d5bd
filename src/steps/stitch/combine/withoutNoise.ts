import type { Tile } from '../../../raster/Tile.js'
import { LIGHT, lightOf } from './slopes.js'
import { spread } from './spread.js'

/** Scales of detail looked at, the finest first: noise of a sensor is fine. */
const SCALES = 2
/** Pixels beyond a place that have a say in it. */
export const NOISE_REACH_PX = 18
/** A little more than what the pair's colours differ by, as power: its local measure is itself noisy. */
const OVER = 1.1
/** Power of luminance's detail below which colour is not said to follow it. */
const FLAT_POWER = 3e-6

/**
 * The pair's mean without what its two captures do not share: relief has no colour, so what their colours differ by is
 * noise. At each scale and place, detail keeps the share its power exceeds the noise's by; colour that follows the
 * luminance's own detail is picture, and kept first. Works on square roots of light, where noise is nearly even.
 * @param a, b the lightings' light, highlights taken off
 * @param mean their mean as it is to be; not changed
 * @param luminanceNoise luminance's noise as a share of that of red and blue, as powers; 0: luminance is left alone
 * Source: J.-S. Lee, "Digital image enhancement and noise filtering by use of local statistics", IEEE Trans. PAMI 2(2),
 * 1980, pp. 165-168 (the local gain; from memory).
 */
export function withoutNoise(
  a: Tile['planes'],
  b: Tile['planes'],
  mean: Tile['planes'],
  width: number,
  height: number,
  luminanceNoise: number,
): Tile['planes'] {
  const smooth = (plane: Float32Array, step: number) => spread(plane, width, height, step)
  const [lightA, lightB, light] = [a, b, mean].map(lightOf)
  const n = light.length
  const root = new Float32Array(n)
  for (let i = 0; i < n; i++) root[i] = Math.sqrt(light[i])
  const noise: Float32Array[] = Array.from({ length: SCALES }, () => new Float32Array(n))
  const colours = [0, 2].map((c) => {
    const colour = new Float32Array(n)
    let half = new Float32Array(n)
    for (let i = 0; i < n; i++) {
      // Each at the mean's luminance: what is left to differ is colour.
      const one = Math.sqrt(Math.max(0, (a[c][i] * light[i]) / lightA[i]))
      const other = Math.sqrt(Math.max(0, (b[c][i] * light[i]) / lightB[i]))
      colour[i] = (one + other) / 2 - root[i]
      half[i] = (one - other) / 2
    }
    const powers = noise.map((sum, scale) => {
      const [power, coarse] = detailPower(half, scale, smooth)
      half = coarse
      for (let i = 0; i < n; i++) sum[i] += power[i]
      return power
    })
    return { colour, powers }
  })
  const clean = luminanceNoise > 0 ? kept(root, noise, luminanceNoise, smooth) : root

  const meanRoot = smooth(root, 1)
  const spreadRoot = smooth(products(root, root), 1)
  for (let i = 0; i < n; i++) spreadRoot[i] -= meanRoot[i] * meanRoot[i]
  const [red, blue] = colours.map(({ colour, powers }) => {
    const meanColour = smooth(colour, 1)
    const slope = smooth(products(colour, root), 1)
    for (let i = 0; i < n; i++) {
      slope[i] = (slope[i] - meanColour[i] * meanRoot[i]) / (spreadRoot[i] + FLAT_POWER)
      meanColour[i] -= slope[i] * meanRoot[i]
    }
    const [slopes, offsets] = [smooth(slope, 1), smooth(meanColour, 1)]
    const following = products(slopes, root)
    for (let i = 0; i < n; i++) following[i] += offsets[i]
    const rest = kept(differences(colour, following), powers, OVER, smooth)
    for (let i = 0; i < n; i++) rest[i] = Math.max(0, rest[i] + following[i] + root[i]) ** 2
    return rest
  })
  const out: Tile['planes'] = [red, new Float32Array(n), blue]
  for (let i = 0; i < n; i++) {
    const green = Math.max(0, (light[i] - LIGHT[0] * red[i] - LIGHT[2] * blue[i]) / LIGHT[1])
    const now = Math.max(1e-6, LIGHT[0] * red[i] + LIGHT[1] * green + LIGHT[2] * blue[i])
    const factor = (clean[i] * clean[i]) / now
    red[i] *= factor
    out[1][i] = green * factor
    blue[i] *= factor
  }
  return out
}

/** Written out: a typed array's own `map` takes several times as long. */
function products(p: Float32Array, q: Float32Array): Float32Array {
  const out = new Float32Array(p.length)
  for (let i = 0; i < out.length; i++) out[i] = p[i] * q[i]
  return out
}

function differences(p: Float32Array, q: Float32Array): Float32Array {
  const out = new Float32Array(p.length)
  for (let i = 0; i < out.length; i++) out[i] = p[i] - q[i]
  return out
}

type Smooth = (plane: Float32Array, step: number) => Float32Array

/** Local power of a plane's detail at one scale, and what is coarser. */
function detailPower(
  plane: Float32Array,
  scale: number,
  smooth: Smooth,
): [power: Float32Array, coarse: Float32Array<ArrayBuffer>, detail: Float32Array] {
  const step = 1 << scale
  const coarse = smooth(plane, step) as Float32Array<ArrayBuffer>
  const detail = differences(plane, coarse)
  const power = smooth(smooth(products(detail, detail), step), step)
  return [power, coarse, detail]
}

/** A plane whose detail keeps, at each scale, the share by which its power exceeds `over` times the noise's. */
function kept(
  plane: Float32Array,
  noise: readonly Float32Array[],
  over: number,
  smooth: Smooth,
): Float32Array {
  const sum = new Float32Array(plane.length)
  let rest: Float32Array = plane
  for (const [scale, powers] of noise.entries()) {
    const [power, coarse, detail] = detailPower(rest, scale, smooth)
    for (let i = 0; i < sum.length; i++) {
      sum[i] += detail[i] * Math.max(0, 1 - (over * powers[i]) / Math.max(power[i], 1e-20))
    }
    rest = coarse
  }
  for (let i = 0; i < sum.length; i++) sum[i] += rest[i]
  return sum
}
