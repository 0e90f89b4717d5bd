import { deltaE2000 } from '../../../colour/deltaE2000.js'
import type { ChartColours } from './ChartColours.js'
import { type Fit, RUNGS, type Rung, type Triple } from './Fit.js'
import { FIELD_PATCHES } from './fitField.js'
import { fitRung } from './fitRung.js'
import { TONES, type ToneKind } from './fitTone.js'
import { labOfWorking } from './labOfWorking.js'
import { type Folds, foldsOf, leaveOut } from './leaveOut.js'
import { rootChoices } from './rootChoices.js'
import { type Straightened, straighten } from './straighten.js'
import { corrected } from './terms.js'

/** A fit with its errors, in the order of the used patches, CIEDE2000. */
export interface JudgedFit {
  fit: Fit
  after: number[]
  leftOut: number[]
  /** How many choices of roots it is the mean of. */
  choices: number
}

export interface ChosenFit {
  chosen: JudgedFit
  /** Every rung tried, simplest first, and the tone they were tried with. */
  tried: JudgedFit[]
  tone: ToneKind
  /** Mean left-out error of the tones, judged with the same rung. */
  tonesTried: { tone: ToneKind; leftOut: number }[]
  straight: Straightened
}

/**
 * What is more elaborate must lower the mean left-out error by more than this share to be taken: smaller gains are as
 * likely the luck of 24 patches.
 */
const WORTHWHILE = 0.05

/** An error this small, dE2000, needs no bettering. */
const NEGLIGIBLE = 0.01

/** The rung that tones are compared with: enough for most devices, and quick. */
const TONE_JUDGE: Rung = 'matrix'

/**
 * Fits the rungs asked for and takes the simplest that no other beats clearly on patches it has not seen; doing nothing
 * is the simplest of all. Before that the tone is chosen the same way.
 * @param wanted `auto` for the whole ladder, else the one rung
 */
export function chooseFit(wanted: 'auto' | Rung, chart: ChartColours): ChosenFit {
  const folds = foldsOf(chart)
  const tonesTried = (wanted === 'none' ? (['straight'] as const) : TONES).map((tone) => ({
    tone,
    leftOut: mean(
      differences(
        leaveOut((part, kept) => fitRung(TONE_JUDGE, chart, part, kept), tone, chart, folds),
        chart,
      ),
    ),
  }))
  const { tone } = simplest(tonesTried, ({ leftOut }) => leftOut)
  const straight = straighten(chart, tone, chart.used)
  const tried = rungsFor(wanted, chart).map((rung) =>
    rung === 'none' ? untouched(chart, folds) : judge(rung, tone, chart, straight, folds),
  )
  const chosen = simplest(tried, ({ leftOut }) => mean(leftOut))
  return { chosen, tried, tone, tonesTried, straight }
}

/** The rungs to try: all that the chart has patches for, or the one asked for. */
function rungsFor(wanted: 'auto' | Rung, { used }: ChartColours): readonly Rung[] {
  if (wanted !== 'auto') return [wanted]
  return RUNGS.filter((rung) => rung !== 'smooth' || used.length >= FIELD_PATCHES)
}

/** The first that none behind it beats clearly. */
function simplest<T>(inOrder: readonly T[], scoreOf: (one: T) => number): T {
  const betters = (next: T, best: T) =>
    scoreOf(best) > NEGLIGIBLE && scoreOf(next) < (1 - WORTHWHILE) * scoreOf(best)
  return inOrder.reduce((best, next) => (betters(next, best) ? next : best))
}

/**
 * A rung with the choice of its roots that serves best. Choices that the patches left out cannot tell apart are
 * averaged: whatever one of them does alone is as likely chance.
 */
function judge(
  rung: Rung,
  tone: ToneKind,
  chart: ChartColours,
  straight: Straightened,
  folds: Folds,
): JudgedFit {
  const choices = rootChoices(rung, chart.used.length).map((roots) => {
    const left = leaveOut((part, kept) => fitRung(rung, chart, part, kept, roots), tone, chart, folds)
    const errors = differences(left, chart)
    return { roots, left, errors, total: errors.reduce((sum, v) => sum + v, 0) }
  })
  // A patch is not to choose what it is judged by: for its own error the choice is made by the others.
  const alikeWithout = (i: number) => {
    const score = ({ total, errors }: (typeof choices)[number]) => total - (errors[i] ?? 0)
    const best = Math.min(...choices.map(score))
    return choices.filter((choice) => score(choice) * (1 - WORTHWHILE) <= best)
  }
  const alike = alikeWithout(-1)
  const fits = alike.map(({ roots }) => fitRung(rung, chart, straight, chart.used, roots))
  const [first] = fits
  const fit =
    fits.length === 1
      ? first
      : {
          ...first,
          coefficients: first.coefficients.map((_, k) => mean(fits.map((one) => one.coefficients[k]))),
        }
  const left = chart.used.map((_, i) => {
    const members = alikeWithout(i)
    return [0, 1, 2].map((c) => mean(members.map((choice) => choice.left[i][c]))) as Triple
  })
  return {
    fit,
    after: errorsOf(fit, chart, straight.evened),
    leftOut: differences(left, chart),
    choices: fits.length,
  }
}

/** Doing nothing: as captured, or in even light where that is nearer; it has seen no patch. */
function untouched(chart: ChartColours, folds: Folds): JudgedFit {
  const straight = folds.straightened('straight', chart.used)
  const fit = fitRung('none', chart, straight, chart.used)
  const [asCaptured, evened] = [chart.linear, straight.evened].map((colours) => errorsOf(fit, chart, colours))
  const after = mean(asCaptured) < mean(evened) ? asCaptured : evened
  return { fit, after, leftOut: after, choices: 1 }
}

/** Errors of the used patches under a fit. */
function errorsOf(fit: Fit, chart: ChartColours, colours: ChartColours['linear']): number[] {
  return differences(
    chart.used.map((k) => corrected(fit, colours[k])),
    chart,
  )
}

/** Errors of corrected colours, one a used patch. */
function differences(colours: readonly Triple[], { used, labD50 }: ChartColours): number[] {
  return used.map((k, i) => deltaE2000(labOfWorking(colours[i]), [...labD50[k]]))
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
