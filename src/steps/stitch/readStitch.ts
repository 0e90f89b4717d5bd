import type { ReadContext } from '../contract.js'
import { describePair } from './checks/describePair.js'
import { handleMissing } from './checks/handleMissing.js'
import { judgeFit } from './checks/judgeFit.js'
import { noteCombining } from './checks/noteCombining.js'
import { noteDuplicates } from './checks/noteDuplicates.js'
import { noteGains } from './checks/noteGains.js'
import { refuseOtherScene } from './checks/refuseOtherScene.js'
import { chooseLayers } from './combine/chooseLayers.js'
import { measureCombining } from './combine/measureCombining.js'
import { findResolution } from './layout/findResolution.js'
import { layOut, toSheet } from './layout/layOut.js'
import { anchorLight } from './light/anchorLight.js'
import { measureLight } from './light/measureLight.js'
import { paperTone } from './light/paperTone.js'
import { solveLight } from './light/solveLight.js'
import { after, angleOf, type Placement, rigid, scaleOf } from './Placement.js'
import type { Params } from './params.js'
import { between } from './place/overlap.js'
import { placeCaptures } from './place/placeCaptures.js'
import type { StitchReading } from './Reading.js'
import { readSingle } from './readSingle.js'
import { adjust, rms } from './refine/adjust.js'
import { matchByView } from './refine/matchByView.js'
import { type Match, measurePair } from './refine/measurePair.js'
import { cameraModel, focalPxOf } from './refine/models/camera.js'
import { FLATBED } from './refine/models/flatbed.js'
import { takeViews } from './views/takeViews.js'
import { type Upright, uprightOf } from './views/Upright.js'

/** With fewer windows of a pair than this, what its reduced view says is heard too. */
const FEW_WINDOWS = 3
/** A factor below this on all light is said. */
const LOWERED = 0.9995

/** Finds where every capture lies on the sheet, how light it is, and where the seams run. */
export async function readStitch(params: Params, context: ReadContext): Promise<StitchReading> {
  const { captures } = context
  const stated = captures.map(({ ppi }) => ppi).filter((ppi) => ppi !== undefined)
  const finestPpi = stated.length ? Math.max(...stated) : undefined
  const uprights = captures.map((info) => uprightOf(info, finestPpi))
  if (captures.length === 1) return readSingle(context, uprights[0], finestPpi)
  const statements: string[] = []
  const warnings: string[] = []
  if (new Set(stated).size > 1) {
    warnings.push(
      `the captures state different resolutions (${[...new Set(stated)].join(', ')} ppi); all are brought to ${finestPpi} ppi`,
    )
  }

  const views = await takeViews(uprights, context)
  const model = context.kind === 'camera' ? cameraModel(uprights) : FLATBED
  const placing = placeCaptures(views, context, model)
  context.progress(0.6)
  handleMissing(uprights, placing, params, warnings)
  noteDuplicates(uprights, placing, warnings)

  const matches: Match[] = []
  const byView: Match[] = []
  for (const [k, pair] of placing.pairs.entries()) {
    context.checkCancelled()
    const { first, second } = pair
    const map = between(placing.placements[first]!, placing.placements[second]!)
    const measured = await measurePair(views, { first, second, map }, context)
    refuseOtherScene(uprights, pair, measured)
    matches.push(...measured.matches)
    if (measured.matches.length < FEW_WINDOWS) byView.push(...matchByView(views, pair))
    context.progress(0.6 + (0.3 * (k + 1)) / placing.pairs.length)
  }
  const adjusted = adjust(placing.own, [...matches, ...byView], model, placing.shared)
  const placements = atFinestScale(adjusted.placements, context.kind)
  const residuals = adjusted.residuals.slice(0, matches.length)
  const misplacementRmsPx = rms(residuals)
  const pairs = placing.pairs.map((pair) => describePair(uprights, placements, pair, matches, residuals))
  judgeFit(uprights, pairs, misplacementRmsPx, matches.length, warnings)

  const layout = layOut(uprights, placements)
  const used = placements.map((placement) => placement !== undefined)
  const solved = solveLight(views.length, measureLight(views, placements, placing.pairs))
  noteGains(uprights, solved, warnings)
  const { corrections, factor } = anchorLight(views, used, solved)
  if (factor < LOWERED) {
    statements.push(
      `all captures' light is multiplied by ${factor.toFixed(3)}, so that matching them lifts none above white`,
    )
  }
  const division = chooseLayers(views, layout, corrections, params.combine)
  const { layers, overlapShare, uncoveredShare } = division
  const combining =
    division.combining && (await measureCombining(views, placements, division.combining, context))
  noteCombining(uprights, combining, params, warnings, statements)
  const fill = paperTone(views, used, corrections)
  const ppi = findResolution(context, layout, finestPpi, statements)
  statements.push(
    context.kind === 'camera'
      ? describeCamera(uprights, adjusted.shared)
      : 'flatbed placement: each capture moves and rotates as a whole, at a scale of its own near what its resolution states',
    `the sheet is square to the mean axis of its captures, ${layout.width} x ${layout.height} pixels`,
  )
  if (uncoveredShare > 0) {
    statements.push(
      `what no capture holds (${percent(uncoveredShare)}) is filled with the paper's tone, ${fill.map((value) => value.toFixed(3)).join(', ')} in linear light`,
    )
  }
  context.progress(1)
  return {
    width: layout.width,
    height: layout.height,
    ppi,
    captures: uprights.map((upright, i) => {
      const { label, turned, width, height } = context.captures[i]
      const placement = layout.placements[i]
      const placed = placement && {
        ...toSheet(upright, placement),
        rotationDeg: (angleOf(placement) * 180) / Math.PI,
        ...corrections[i],
      }
      return { label, turned, width, height, ...(placed ? { placed } : {}) }
    }),
    pairs,
    misplacementRmsPx,
    windows: matches.length,
    outliers: residuals.filter(({ weight }) => weight === 0).length,
    overlapShare,
    uncoveredShare,
    fill,
    layers,
    ...(combining ? { combining } : {}),
    statements,
    warnings,
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

function describeCamera(uprights: readonly Upright[], shared: readonly number[]): string {
  const widths =
    focalPxOf(uprights, shared) / Math.max(...uprights.flatMap(({ width, height }) => [width, height]))
  const [, k1, k2] = shared
  return `camera placement: every frame as its distance, turn and tilt say, one lens for all: focal length ${widths.toFixed(2)} of the longer side, radial distortion k1 ${k1.toFixed(4)}, k2 ${k2.toFixed(4)} at half the diagonal`
}

const percent = (share: number) => `${(share * 100).toFixed(share < 0.001 ? 3 : 1)} %`
