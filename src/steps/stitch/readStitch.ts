import type { Source } from '../../raster/Source.js'
import type { ReadContext } from '../contract.js'
import { noteCombining } from './checks/noteCombining.js'
import { noteDepths } from './checks/noteDepths.js'
import { noteFalloff } from './checks/noteFalloff.js'
import { noteGains } from './checks/noteGains.js'
import { noteSharpness } from './checks/noteSharpness.js'
import { noteWorstSeam } from './checks/noteWorstSeam.js'
import { chooseLayers } from './combine/chooseLayers.js'
import { measureCombining } from './combine/measureCombining.js'
import { measureFine } from './combine/measureFine.js'
import { chooseAxis, describeAxis, edgesOnSheet } from './layout/chooseAxis.js'
import { findResolution } from './layout/findResolution.js'
import { layOut, toSheet } from './layout/layOut.js'
import { residualVectors } from './layout/residualVectors.js'
import { anchorLight } from './light/anchorLight.js'
import { matchLight } from './light/matchLight.js'
import { paperTone } from './light/paperTone.js'
import { angleOf } from './Placement.js'
import type { Params } from './params.js'
import type { StitchReading } from './Reading.js'
import { readSingle } from './readSingle.js'
import { registerCaptures } from './registerCaptures.js'
import { findWorstSeam } from './seams/findWorstSeam.js'
import { measureCoarse } from './seams/measureCoarse.js'
import { sharpnessReach } from './seams/sharperThan.js'
import { sharpnessPlaces } from './seams/sharpnessPlaces.js'
import { summariseSharpness } from './seams/summariseSharpness.js'
import { halfExtent, uprightOf } from './views/Upright.js'
import { askWork } from './WorkTask.js'

/** A factor below this on all light is said. */
const LOWERED = 0.9995

/** Finds where every capture lies on the sheet, how light it is, and where the seams run. */
export async function readStitch(
  sources: readonly Source[],
  params: Params,
  context: ReadContext,
): Promise<StitchReading> {
  const { captures } = context
  const stated = captures.map(({ ppi }) => ppi).filter((ppi) => ppi !== undefined)
  const finestPpi = stated.length ? Math.max(...stated) : undefined
  const taken = captures.map((info) => uprightOf(info, finestPpi))
  if (captures.length === 1) return readSingle(context, taken[0], finestPpi)
  const statements: string[] = []
  const warnings: string[] = []
  if (new Set(stated).size > 1) {
    warnings.push(
      `the captures state different resolutions (${[...new Set(stated)].join(', ')} ppi); all are brought to ${finestPpi} ppi, and what the coarser ones alone hold stays coarser`,
    )
  }

  noteDepths(captures, warnings)
  const registration = await registerCaptures(context, params, taken, statements, warnings)
  const { views, uprights, placements, pairs, matches, residuals, misplacementRmsPx } = registration
  const shorterPx = Math.min(...uprights.flatMap(halfExtent)) * 2
  const axis = chooseAxis(placements, registration.edges, shorterPx)
  const layout = layOut(uprights, placements, axis.angle)
  const used = placements.map((placement) => placement !== undefined)
  const matched = matchLight(views, placements, pairs, context)
  noteGains(uprights, matched.corrections, warnings)
  noteFalloff(uprights, matched, statements, warnings)
  const { corrections, factor } = anchorLight(views, used, matched.corrections)
  if (factor < LOWERED) {
    statements.push(
      `all captures' light is multiplied by ${factor.toFixed(3)}, so that matching them lifts none above white`,
    )
  }
  const laid = uprights.map((upright, i) => {
    const { label, width, height } = context.captures[i]
    const { turned } = upright
    const placement = layout.placements[i]
    const placed = placement && {
      ...toSheet(upright, placement),
      rotationDeg: (angleOf(placement) * 180) / Math.PI,
      ...corrections[i],
    }
    return { label, turned, width, height, ...(placed ? { placed } : {}) }
  })
  const asks = sharpnessPlaces(sources, laid, layout, matches, residuals)
  const sharpness = await askWork(context, 'sharpness', asks)
  const division = chooseLayers(views, layout, corrections, params.combine, sharpness)
  const { overlapShare, uncoveredShare } = division
  const layers = division.layers.map((layer) => ({
    ...layer,
    coarse: measureCoarse(views, layout, corrections, layer.seams),
  }))
  const meeting = sharpness.filter(({ first, second }) =>
    layers.some(({ captures: own }) => own.includes(first) && own.includes(second)),
  )
  const summary = summariseSharpness(meeting, sharpnessReach(views))
  noteSharpness(uprights, summary, warnings, statements)
  const combining =
    division.combining && (await measureCombining(views, placements, division.combining, context))
  const fill = paperTone(views, used, corrections)
  const { ppi, uncertainty } = findResolution(
    context,
    layout,
    finestPpi,
    statements,
    edgesOnSheet(axis, layout.placements, registration.edges),
    registration.scaleSpread,
  )
  statements.push(
    `${describeAxis(axis, registration.mostTiltDeg)}; ${layout.width} x ${layout.height} pixels`,
  )
  if (uncoveredShare > 0) {
    statements.push(
      `what no capture holds (${percent(uncoveredShare)}) is filled with the paper's tone, ${fill.map((value) => value.toFixed(3)).join(', ')} in linear light`,
    )
  }
  const reading: StitchReading = {
    width: layout.width,
    height: layout.height,
    ppi,
    ...(uncertainty === undefined ? {} : { scaleUncertainty: uncertainty }),
    captures: laid,
    pairs,
    misplacementRmsPx,
    windows: matches.length,
    outliers: residuals.filter(({ weight }) => weight === 0).length,
    vectors: residualVectors(layout.placements, matches, residuals),
    overlapShare,
    uncoveredShare,
    fill,
    layers,
    ...(combining ? { combining } : {}),
    ...(summary.length ? { sharpness: summary } : {}),
    statements,
    warnings,
  }
  const finished = combining ? { ...reading, combining: measureFine(sources, reading) } : reading
  noteCombining(uprights, finished.combining, params, warnings, statements)
  const worstSeam = findWorstSeam(sources, finished, views, layout, corrections)
  if (worstSeam) noteWorstSeam(uprights, worstSeam, warnings)
  context.progress(1)
  return worstSeam ? { ...finished, worstSeam } : finished
}

const percent = (share: number) => `${(share * 100).toFixed(share < 0.001 ? 3 : 1)} %`
