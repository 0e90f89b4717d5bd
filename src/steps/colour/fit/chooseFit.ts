import { deltaE2000 } from '../../../colour/deltaE2000.js'
import { type Fit, RUNGS, type Rung } from './Fit.js'
import { type FitData, fitRung } from './fitRung.js'
import { labOfWorking } from './labOfWorking.js'
import { leaveOneOut } from './leaveOneOut.js'
import { corrected } from './terms.js'

/** A fit with its errors, in the order of the used patches, CIEDE2000. */
export interface JudgedFit {
  fit: Fit
  after: number[]
  leftOut: number[]
}

/**
 * A more elaborate rung must lower the mean left-out error by more than this share to be taken: smaller gains are as
 * likely the luck of 24 patches.
 */
const WORTHWHILE = 0.05

/**
 * Fits the rungs asked for and takes the simplest that no other beats clearly on patches it has not seen.
 * @param wanted `auto` for the whole ladder, else the one rung
 * @returns the chosen fit and every rung tried, simplest first
 */
export function chooseFit(
  wanted: 'auto' | Rung,
  data: FitData,
  nextAnchor: number,
): { chosen: JudgedFit; tried: JudgedFit[] } {
  const tried = (wanted === 'auto' ? RUNGS : [wanted]).map((rung) => judge(rung, data, nextAnchor))
  const chosen = tried.reduce((best, next) =>
    mean(next.leftOut) < (1 - WORTHWHILE) * mean(best.leftOut) ? next : best,
  )
  return { chosen, tried }
}

function judge(rung: Rung, data: FitData, nextAnchor: number): JudgedFit {
  const fit = fitRung(rung, data)
  const after = data.used.map((k) =>
    deltaE2000(labOfWorking(corrected(fit, data.measured[k])), [...data.labD50[k]]),
  )
  return { fit, after, leftOut: leaveOneOut(rung, data, nextAnchor) }
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
