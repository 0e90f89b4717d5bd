import type { ReadContext } from '../contract.js'
import { describePair } from './checks/describePair.js'
import { handleMissing } from './checks/handleMissing.js'
import { judgeFit } from './checks/judgeFit.js'
import { noteDuplicates } from './checks/noteDuplicates.js'
import { noteLost } from './checks/noteLost.js'
import { noteTilts } from './checks/noteTilts.js'
import { noteTurns } from './checks/noteTurns.js'
import { refuseOtherScene } from './checks/refuseOtherScene.js'
import type { EdgePoint } from './edges/EdgePoint.js'
import { edgesOf } from './edges/findEdges.js'
import { after, type Placement, rigid, scaleOf } from './Placement.js'
import type { Params } from './params.js'
import { between } from './place/overlap.js'
import { placeCaptures } from './place/placeCaptures.js'
import type { PairReading } from './Reading.js'
import { adjustFlatbed } from './refine/adjustFlatbed.js'
import { adjustFrames } from './refine/adjustFrames.js'
import { matchByView } from './refine/matchByView.js'
import type { Match } from './refine/measurePair.js'
import { cameraModel, focalPxOf } from './refine/models/camera.js'
import { FLATBED } from './refine/models/flatbed.js'
import { type Residual, rms } from './refine/residuals.js'
import { takeViews } from './views/takeViews.js'
import type { Upright } from './views/Upright.js'
import type { View } from './views/View.js'
import { askWork } from './WorkTask.js'

/** Where all captures lie on each other, and what says so. */
export interface Registration {
  /** As the captures lay: turned back also where that was found and not stated. */
  views: View[]
  uprights: Upright[]
  placements: (Placement | undefined)[]
  pairs: PairReading[]
  matches: Match[]
  /** One a match. */
  residuals: Residual[]
  misplacementRmsPx: number
  /** Where the sheet's sides are seen; none where they are not, or contradict the windows. */
  edges: readonly EdgePoint[]
  /** Of flatbed captures' scales: standard deviation of the logarithm, and among how many. */
  scaleSpread?: { sigma: number; captures: number }
  /** Of camera frames, the most that any is tilted by, degrees. */
  mostTiltDeg?: number
}

/** With fewer windows of a pair than this, what its reduced view says is heard too. */
const FEW_WINDOWS = 3

/** Places all captures: on reduced pictures, then by windows at full resolution, then all together. */
export async function registerCaptures(
  context: ReadContext,
  params: Params,
  taken: readonly Upright[],
  statements: string[],
  warnings: string[],
): Promise<Registration> {
  const model = context.kind === 'camera' ? cameraModel(taken) : FLATBED
  const placing = await placeCaptures(await takeViews(taken, context), context, model)
  const { views } = placing
  const uprights = views.map(({ upright }) => upright)
  context.progress(0.6)
  handleMissing(uprights, placing, params, warnings)
  noteTurns(taken, uprights, statements, warnings)
  noteDuplicates(uprights, placing, warnings)

  const matches: Match[] = []
  const byView: Match[] = []
  const asks = placing.pairs.map(({ first, second }) => ({
    ...{ first, second, views: [views[first], views[second]] as const, kind: context.kind },
    map: between(placing.placements[first]!, placing.placements[second]!),
  }))
  const measured = await askWork(context, 'measure', asks, (share) => context.progress(0.6 + 0.3 * share))
  for (const [k, pair] of placing.pairs.entries()) {
    refuseOtherScene(uprights, pair, measured[k])
    matches.push(...measured[k].matches)
    if (measured[k].matches.length < FEW_WINDOWS)
      byView.push(...matchByView(views, { ...pair, alignment: { ...pair.alignment, map: asks[k].map } }))
  }
  noteLost(uprights, placing.pairs, measured, warnings)
  const edgePoints = edgesOf(views, placing.placements)
  const adjusted =
    context.kind === 'camera'
      ? { ...adjustFrames(placing, [...matches, ...byView], edgePoints, model), scaleSpread: undefined }
      : { ...adjustFlatbed(placing.own, [...matches, ...byView]), edges: edgePoints }
  const placements = atFinestScale(adjusted.placements, context.kind)
  const residuals = adjusted.residuals.slice(0, matches.length)
  const misplacementRmsPx = rms(residuals)
  const pairs = placing.pairs.map((pair) => describePair(uprights, placements, pair, matches, residuals))
  judgeFit(uprights, pairs, misplacementRmsPx, matches.length, warnings, context.kind)
  const mostTiltDeg = context.kind === 'camera' ? noteTilts(uprights, adjusted.own, warnings) : undefined
  statements.push(
    context.kind === 'camera' ? describeCamera(uprights, adjusted.shared) : describeFlatbed(placements),
  )
  return {
    views,
    uprights,
    placements,
    pairs,
    matches,
    residuals,
    misplacementRmsPx,
    edges: adjusted.edges,
    scaleSpread: adjusted.scaleSpread,
    mostTiltDeg,
  }
}

/** A camera's sheet is sampled as finely as its nearest frame. */
function atFinestScale(
  placements: readonly (Placement | undefined)[],
  kind: ReadContext['kind'],
): (Placement | undefined)[] {
  if (kind !== 'camera') return [...placements]
  const finest = Math.min(...placements.filter((placement) => placement !== undefined).map(scaleOf))
  return placements.map((placement) => placement && after(placement, rigid(0, 0, 0, 1 / finest)))
}

/** Scales nearer to each other than this are called the same. */
const SAME_SCALE = 1e-6

function describeFlatbed(placements: readonly (Placement | undefined)[]): string {
  const scales = placements.filter((placement) => placement !== undefined).map(scaleOf)
  const [least, most] = [Math.min(...scales), Math.max(...scales)]
  return most - least < SAME_SCALE
    ? 'flatbed placement: each capture moves and rotates as a whole, at the scale its resolution states'
    : `flatbed placement: each capture moves and rotates as a whole, at a scale of its own; scales differ by up to ${((most / least - 1) * 100).toFixed(2)} %`
}

function describeCamera(uprights: readonly Upright[], shared: readonly number[]): string {
  const longer = Math.max(...uprights.flatMap(({ width, height }) => [width, height]))
  const [, k1, k2] = shared
  return `camera placement: every frame as its distance, turn and tilt say, one lens for all: focal length ${(focalPxOf(uprights, shared) / longer).toFixed(2)} of the longer side, radial distortion k1 ${k1.toFixed(4)}, k2 ${k2.toFixed(4)} at half the diagonal`
}
