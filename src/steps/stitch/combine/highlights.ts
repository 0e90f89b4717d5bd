import type { Tile } from '../../../raster/Tile.js'
import type { FineDetail } from './FineDetail.js'
import type { Glints } from './ReliefModel.js'
import { LIGHT } from './slopes.js'

/** Slopes below this show no highlight, and none beyond this is looked for. */
export const LEAST_SLOPE = 0.1
const MOST_SLOPE = 0.7
const STEPS = 60
/** How far off the light of a modelled highlight may be: a share of it, and light besides; light where none is modelled. */
const DOUBT_SHARE = 0.2
const DOUBT_LIGHT = 0.007
const DOUBT_UNKNOWN = 0.02
/** Light under one lamp is at most so many times that under the other, highlights apart. */
const MOST_RATIO = 4
/** No channel loses more than this share of its light. */
const MOST_SHARE = 0.95

/**
 * What of the lit side's light is a highlight, which has the lamp's colour and not the paint's. Two things tell: the least
 * slope at which shading and highlight together give the light seen (small slopes are far more frequent), and the colours:
 * shading multiplies all channels alike, a highlight adds the same to each. The second weighs as far as the paint is
 * coloured and the noise allows; on grey the first is all there is.
 * @param a, b light of the two lightings, three planes each
 * @param across slopes across the lamp; undefined where they are not concluded
 * @param glints undefined where none were learned
 * @param noise of the pair; undefined where it is not known, and colours are not asked
 * @returns what is to be taken off: from a where positive, from b where negative
 * Source: S. A. Shafer, "Using color to separate reflection components", Color Research & Application 10(4), 1985,
 * pp. 210-218, doi:10.1002/col.5080100409 (the sum of a body's and a surface's reflection; from memory).
 */
export function highlights(
  a: Tile['planes'],
  b: Tile['planes'],
  across: Float32Array | undefined,
  glints: Glints | undefined,
  noise: Pick<FineDetail, 'readout' | 'photon'> | undefined,
): Float32Array {
  const out = new Float32Array(a[0].length)
  const modelled = glints ? shining(glints) : () => 0
  const [wr, wg, wb] = LIGHT
  for (let i = 0; i < out.length; i++) {
    const lightA = wr * a[0][i] + wg * a[1][i] + wb * a[2][i]
    const lightB = wr * b[0][i] + wg * b[1][i] + wb * b[2][i]
    const difference = Math.abs(lightA - lightB)
    if (!(difference > LEAST_SLOPE * (lightA + lightB))) continue
    const [low, high] = lightA < lightB ? [lightA, lightB] : [lightB, lightA]
    const [lit, unlit] = lightA < lightB ? [b, a] : [a, b]
    let light = modelled(low, high, across ? across[i] : 0)
    if (noise) {
      const doubt = glints ? DOUBT_SHARE * light + DOUBT_LIGHT : DOUBT_UNKNOWN
      light = byColour(lit, unlit, i, light, doubt, noise)
    }
    const least = Math.min(lit[0][i], lit[1][i], lit[2][i])
    light = Math.max(0, Math.min(light, difference, MOST_SHARE * least))
    out[i] = lightA < lightB ? -light : light
  }
  return out
}

/** The highlight that modelled light and the colours agree on best, by least squares. */
function byColour(
  lit: Tile['planes'],
  unlit: Tile['planes'],
  i: number,
  modelled: number,
  doubt: number,
  noise: Pick<FineDetail, 'readout' | 'photon'>,
): number {
  const { excess, coloured, variance } = colourOf(lit, unlit, i, modelled, noise)
  return modelled + excess / (coloured + variance / (doubt * doubt))
}

/**
 * What colours say of a highlight at one place: it is `modelled + excess / coloured`, with a variance of
 * `variance / coloured`.
 */
export function colourOf(
  lit: Tile['planes'],
  unlit: Tile['planes'],
  i: number,
  modelled: number,
  { readout, photon }: Pick<FineDetail, 'readout' | 'photon'>,
): { excess: number; coloured: number; variance: number } {
  const [u0, u1, u2] = [lit[0][i] - modelled, lit[1][i] - modelled, lit[2][i] - modelled]
  const [l0, l1, l2] = [unlit[0][i], unlit[1][i], unlit[2][i]]
  const squares = Math.max(1e-6, l0 * l0 + l1 * l1 + l2 * l2)
  const ratio = Math.min(MOST_RATIO, Math.max(1, (u0 * l0 + u1 * l1 + u2 * l2) / squares))
  // What is the same in all channels, less what of it the paint's own colour could be.
  const own = (l0 + l1 + l2) / squares
  const [g0, g1, g2] = [1 - own * l0, 1 - own * l1, 1 - own * l2]
  const coloured = g0 * g0 + g1 * g1 + g2 * g2
  const excess = u0 * g0 + u1 * g1 + u2 * g2
  // Of one capture's light, from that of the square root of the mean of two.
  const ofLevel = (level: number) => 8 * (readout + photon * Math.max(level, 0))
  const variance = ofLevel(modelled + (u0 + u1 + u2) / 3) + ratio * ratio * ofLevel((l0 + l1 + l2) / 3)
  return { excess, coloured, variance }
}

/** A model's highlight for the light of both sides and the slope across the lamp. */
export function shining({ peak, slope, width }: Glints): (low: number, high: number, t: number) => number {
  const step = (MOST_SLOPE - LEAST_SLOPE) / STEPS
  const shaded = Float64Array.from({ length: STEPS + 1 }, (_, k) => {
    const s = LEAST_SLOPE + k * step
    return (1 + s) / (1 - s)
  })
  const shine = Float64Array.from(
    shaded,
    (_, k) => peak * Math.exp(-((LEAST_SLOPE + k * step - slope) ** 2) / (2 * width * width)),
  )
  return (low, high, t) => {
    const lobe = Math.exp(-(t * t) / (2 * width * width))
    let excess = low * shaded[0] + lobe * shine[0] - high
    if (excess >= 0) return 0
    for (let k = 1; k <= STEPS; k++) {
      const next = low * shaded[k] + lobe * shine[k] - high
      if (next >= 0 || k === STEPS) {
        // Between the two slopes the way is as good as straight.
        const share = next >= 0 ? excess / (excess - next) : 1
        const s = LEAST_SLOPE + (k - 1 + share) * step
        return Math.max(0, high - (low * (1 + s)) / (1 - s))
      }
      excess = next
    }
    return 0
  }
}
