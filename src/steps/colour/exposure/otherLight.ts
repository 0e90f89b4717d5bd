import type { Neutral } from '../../contract.js'
import { labAt80 } from '../../session.js'
import type { Fit } from '../fit/Fit.js'
import { corrected } from '../fit/terms.js'

/** Boards sold as white or grey stay within this of neutral (a*b* at L* 80); common practice. */
const BOARD_TINT = 5

export function otherLightWords(chart: string, what: string, apart: number): string {
  return `${chart}: the chart seems to lie in another light than the painting: ${what} differs in grey balance by ${apart.toFixed(1)} (a*b* at L* 80). The correction holds for the chart's light only; capture the chart in the painting's`
}

/**
 * Holds a neutral surface in the painting's light (a blank board) against the chart's greys: corrected by the chart's
 * fit it should be neutral.
 * @returns how far it is from that, and a warning where no board is so tinted
 */
export function otherLight(chart: string, neutral: Neutral, fit: Fit): { apart: number; warnings: string[] } {
  const [, a, b] = labAt80(corrected(fit, neutral.linear))
  const apart = Math.hypot(a, b)
  return {
    apart,
    warnings:
      apart > BOARD_TINT
        ? [otherLightWords(chart, `the board (${neutral.label}), corrected by the chart,`, apart)]
        : [],
  }
}
