import type { ChartColours } from './ChartColours.js'
import type { Fit, Triple } from './Fit.js'
import type { ToneKind } from './fitTone.js'
import { type Straightened, straighten } from './straighten.js'
import { corrected } from './terms.js'

/** Charts of more patches are left out by groups, as so many fits would take minutes. */
export const ONE_BY_ONE = 48
const GROUPS = 12

/**
 * Each used patch as corrected by a reading that has not seen it: neither its colour nor, if it is a grey, its place on
 * the tone curve, nor what it says of the light. Where the anchor itself is left out, the next lightest grey stands in.
 * @param fitTo fits a rung to a straightened chart without some patches, afresh: started from the fit to all patches, it
 * would remember those left out
 * @returns colours of the working space, in the order of `used`
 */
export function leaveOut(
  fitTo: (straight: Straightened, kept: readonly number[]) => Fit,
  kind: ToneKind,
  chart: ChartColours,
  folds: Folds,
): Triple[] {
  const colours = new Map<number, Triple>()
  for (const { out, kept } of folds.groups) {
    const straight = folds.straightened(kind, kept)
    const fit = fitTo(straight, kept)
    for (const k of out) colours.set(k, corrected(fit, straight.evened[k]))
  }
  return chart.used.map((k) => colours.get(k)!)
}

/** Which patches are left out together, and the chart straightened without them, each way once. */
export interface Folds {
  groups: readonly { out: number[]; kept: number[] }[]
  straightened(kind: ToneKind, kept: readonly number[]): Straightened
}

/** The folds of a chart. */
export function foldsOf(chart: ChartColours): Folds {
  const { used } = chart
  const groups = used.length <= ONE_BY_ONE ? used.length : GROUPS
  const done = new Map<string, Straightened>()
  return {
    groups: Array.from({ length: groups }, (_, g) => ({
      out: used.filter((_, i) => i % groups === g),
      kept: used.filter((_, i) => i % groups !== g),
    })),
    straightened(kind, kept) {
      const key = `${kind} ${kept.join()}`
      const known = done.get(key) ?? straighten(chart, kind, kept)
      done.set(key, known)
      return known
    },
  }
}
