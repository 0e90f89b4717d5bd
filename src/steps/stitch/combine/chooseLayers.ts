import type { Layout } from '../layout/layOut.js'
import type { Correction } from '../light/LightField.js'
import type { Params } from '../params.js'
import { findSeams } from '../seams/findSeams.js'
import type { SharpnessPair } from '../seams/sharper.js'
import type { View } from '../views/View.js'
import type { Combining, Layer } from './Layer.js'
import { measureCoverage } from './measureCoverage.js'

/** Lightings are combined where they share so much of the sheet, or of one capture: more than tiles' overlaps do. */
const LEAST_SHARED = 0.6
const LEAST_OF_ONE = 0.8
/** A lighting comes in over this share of the sheet's shorter side, within these bounds. */
const FEATHER_SHARE = 0.02
const LEAST_FEATHER_PX = 16
const MOST_FEATHER_PX = 300

export interface Layers {
  layers: Layer[]
  overlapShare: number
  uncoveredShare: number
  /** Absent where every place is taken from one capture. */
  combining?: Combining
}

/** Divides the sheet among the captures: all of them together, or those of each lighting by themselves. */
export function chooseLayers(
  views: readonly View[],
  layout: Layout,
  corrections: readonly Correction[],
  combine: Params['combine'],
  sharpness: readonly SharpnessPair[] = [],
): Layers {
  const uprights = views.map(({ upright }) => upright)
  const placed = views.map((_, i) => i).filter((i) => layout.placements[i])
  const coverage = measureCoverage(uprights, layout)
  const { severalShare, opposedShare, partneredShares, overlapShare, uncoveredShare } = coverage
  const sizeable = severalShare >= LEAST_SHARED || Math.max(...partneredShares) >= LEAST_OF_ONE
  if (combine === 'never' || !sizeable) {
    const { map, ...shares } = findSeams(views, layout, corrections, sharpness)
    return { layers: [{ captures: placed, seams: map }], ...shares }
  }
  const ways = [...new Set(placed.map((i) => uprights[i].turned))].sort((a, b) => a - b)
  const layers = ways.map((turned): Layer => {
    const captures = placed.filter((i) => uprights[i].turned === turned)
    const placements = layout.placements.map((placement, i) => (captures.includes(i) ? placement : undefined))
    return {
      turned,
      captures,
      seams: findSeams(views, { ...layout, placements }, corrections, sharpness).map,
    }
  })
  const shorter = Math.min(layout.width, layout.height)
  const featherPx = Math.min(MOST_FEATHER_PX, Math.max(LEAST_FEATHER_PX, FEATHER_SHARE * shorter))
  return { layers, overlapShare, uncoveredShare, combining: { featherPx, severalShare, opposedShare } }
}
