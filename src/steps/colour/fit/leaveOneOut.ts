import { deltaE2000 } from '../../../colour/deltaE2000.js'
import type { Rung } from './Fit.js'
import { type FitData, fitRung } from './fitRung.js'
import { labOfWorking } from './labOfWorking.js'
import { corrected } from './terms.js'

/**
 * The error of each used patch under a fit that has not seen it. Where the anchor itself is left out, the next lightest
 * grey stands in for it.
 * @returns CIEDE2000, in the order of `used`
 */
export function leaveOneOut(rung: Rung, data: FitData, nextAnchor: number): number[] {
  // Each fold starts afresh: started from the fit to all patches, it would remember the patch left out.
  return data.used.map((k) => {
    const used = data.used.filter((other) => other !== k)
    const anchor = k === data.anchor ? nextAnchor : data.anchor
    const fit = fitRung(rung, { ...data, used, anchor })
    return deltaE2000(labOfWorking(corrected(fit, data.measured[k])), [...data.labD50[k]])
  })
}
