import type { Tile } from '../../../raster/Tile.js'
import type { FineDetail } from './FineDetail.js'
import { colourOf, LEAST_SLOPE, shining } from './highlights.js'
import { acrossIn, BORDER_PX, LEARN_PX } from './learnRelief.js'
import type { Glints, ReliefModel } from './ReliefModel.js'
import { lightOf, slopesAlong } from './slopes.js'

/** So many steep places, those whose colours say most, are asked; fewer than the least say nothing. */
const MOST_PLACES = 6000
const FEWEST_PLACES = 200
/** Slopes beyond this are edges that do not lie on themselves as often as facets. */
const STEEPEST = 0.6
/** What counts as exact: a model is a facet's, a pixel is a mixture; light. */
const DOUBT = 0.02
/** Highlights are there where they explain so much: what is left is below this share of what is seen without. */
const FAIR_SHARE = 0.95
/** Peaks that are tried, light at the sheet's bright tones being 1; slopes and widths. */
const PEAKS = [0.06, 0.1, 0.15, 0.2, 0.28, 0.4, 0.56, 0.8]
const SLOPES = [0.22, 0.26, 0.3, 0.34, 0.4]
const WIDTHS = [0.05, 0.065, 0.08, 0.1]

/**
 * Highlights learned from all over the sheet: where paint is coloured, the colours of the lit and the unlit side say how
 * strong they are, whatever is painted there.
 * @param windows both lightings' light, `LEARN_PX` square
 * @param model what was learned on even places; its highlights stand where too few places are coloured and steep
 * @returns undefined where there are none
 */
export function glintsByColour(
  windows: readonly (readonly [Tile['planes'], Tile['planes']])[],
  model: ReliefModel,
  noise: Pick<FineDetail, 'readout' | 'photon'>,
): Glints | undefined {
  const places: { low: number; high: number; t: number; seen: number; variance: number }[] = []
  const bright: number[] = []
  for (const [a, b] of windows) {
    const [lightA, lightB] = [lightOf(a), lightOf(b)]
    const along = slopesAlong(lightA, lightB)
    const across = model.crosswise ? acrossIn(along, model.lampAxisDeg) : undefined
    bright.push(lightA.reduce((sum, value, i) => sum + value + lightB[i], 0) / (2 * lightA.length))
    for (let y = BORDER_PX; y < LEARN_PX - BORDER_PX; y++) {
      for (let i = y * LEARN_PX + BORDER_PX; i < (y + 1) * LEARN_PX - BORDER_PX; i++) {
        const steep = Math.abs(along[i])
        if (steep < LEAST_SLOPE || steep > STEEPEST) continue
        const [lit, unlit] = along[i] > 0 ? [a, b] : [b, a]
        const { excess, coloured, variance } = colourOf(lit, unlit, i, 0, noise)
        places.push({
          ...{ low: Math.min(lightA[i], lightB[i]), high: Math.max(lightA[i], lightB[i]) },
          ...{ t: across ? across[i] : 0, seen: excess / coloured, variance: variance / coloured },
        })
      }
    }
  }
  const telling = places.filter(({ variance }) => variance < DOUBT * DOUBT)
  if (telling.length < FEWEST_PLACES) return model.glints
  telling.sort((p, q) => p.variance - q.variance)
  telling.length = Math.min(telling.length, MOST_PLACES)
  bright.sort((p, q) => p - q)
  const tone = bright[Math.floor(0.9 * bright.length)]
  const costOf = (glints: Glints | undefined) => {
    const light = glints ? shining(glints) : () => 0
    return telling.reduce((sum, { low, high, t, seen, variance }) => {
      const off = seen - Math.min(light(low, high, t), high - low)
      return sum + Math.log1p((off * off) / (variance + DOUBT * DOUBT))
    }, 0)
  }
  const without = costOf(undefined)
  let best = model.glints
  let least = costOf(best)
  for (const peak of PEAKS) {
    for (const slope of SLOPES) {
      for (const width of WIDTHS) {
        const glints = { peak: peak * tone, slope, width }
        const cost = costOf(glints)
        if (cost < least) [least, best] = [cost, glints]
      }
    }
  }
  return least < FAIR_SHARE * without ? best : undefined
}
