import type { FineDetail } from '../combine/FineDetail.js'
import type { Combining } from '../combine/Layer.js'
import type { ReliefModel } from '../combine/ReliefModel.js'
import type { Params } from '../params.js'
import type { Upright } from '../views/Upright.js'

/** Between these shares of combined places the sheet has two kinds of relief worth a warning. */
const MIXED = [0.1, 0.85] as const
/** Relief of this size (of log light) that correlates more than this did not flip. */
const WORTH_RMS = 0.01
const SAME_RELIEF = 0.6

/** One of two captures is called the sharper where so much of what differs is surely its. */
const PLAINLY = 0.3
/** Mid grey, where noise is stated, light. */
const GREY = 0.18

/** Says what was decided about turned captures, and warns where combining cannot do what it ought to. */
export function noteCombining(
  uprights: readonly Upright[],
  combining: Combining | undefined,
  { combine }: Params,
  warnings: string[],
  statements: string[],
): void {
  if (new Set(uprights.map(({ turned }) => turned)).size < 2) return
  if (!combining) {
    statements.push(
      combine === 'never'
        ? 'combine: never, so every place is taken from one capture, however the sheet lay'
        : 'captures that lay turned share only overlaps with the others: every place is taken from one capture',
    )
    return
  }
  const {
    severalShare,
    opposedShare,
    model,
    fine = [],
    reliefRms = 0,
    reliefDb,
    reliefCorrelation = 0,
  } = combining
  const bought =
    reliefDb === undefined
      ? ''
      : `; on flat light places at most ${percent(10 ** (Math.min(0, reliefDb) / 20))} of its strength in one capture is left (${reliefDb.toFixed(1)} dB)`
  statements.push(
    `captures that lay turned are combined where they show the same place (${percent(severalShare)} of the sheet), so that relief under opposite lamps cancels${bought}`,
  )
  if (model) statements.push(...describeModel(model))
  statements.push(...fine.map(describeFine))
  if (reliefRms > WORTH_RMS && reliefCorrelation > SAME_RELIEF) {
    warnings.push(
      `the relief did not flip between turned captures (correlation ${reliefCorrelation.toFixed(2)}): did the lamp turn with the sheet? Combining takes little of it`,
    )
  }
  if (opposedShare < 0.5 * severalShare) {
    warnings.push(
      'most places with two lightings have no opposite pair (0 and 180, or 90 and 270): relief is halved there at best, not cancelled',
    )
  }
  if (severalShare > MIXED[0] && severalShare < MIXED[1]) {
    warnings.push(
      `${percent(severalShare)} of the sheet is combined from turned captures and the rest is not: relief differs between the two, and paper-texture learns one mean of both. Capture a turned partner of everything, or set combine: never`,
    )
  }
}

/** What is done besides the mean, in words. */
function describeModel({ curvature, crosswise, glints }: ReliefModel): string[] {
  const done: string[] = []
  if (curvature > 0) {
    done.push(
      `what slopes cost both lightings is given back (${curvature.toFixed(2)} times the slope’s square${crosswise ? ', slopes across the lamp concluded from those along it' : ''})`,
    )
  }
  if (glints) done.push('highlights are taken off the side that is lit')
  return done.length ? [`learned from the turned pair: ${done.join('; ')}`] : []
}

/** What is done with the finest detail, in words. */
function describeFine({ turned, readout, photon, differing, sharper }: FineDetail): string {
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)
  const plainly = sum(differing.map((value, i) => value * sharper[i])) / Math.max(1e-9, sum(differing))
  const finest =
    Math.abs(plainly) < PLAINLY
      ? ''
      : `; the finest detail is that of the one turned by ${plainly > 0 ? turned : turned + 180} degrees, which is the sharper, where it stands above relief and noise`
  const noise = (200 * Math.sqrt(GREY * (readout + photon * GREY))).toFixed(3)
  return `noise goes too: what of detail does not stand above what the colours of captures turned by ${turned} and ${turned + 180} degrees differ by (${noise} % of white at mid grey, in their mean)${finest}`
}

const percent = (share: number) => `${(share * 100).toFixed(0)} %`
