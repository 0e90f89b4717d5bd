import { CHART24_GREYS, CHART24_NAMES, CHART24_WHITE } from '../../colour/charts/chart24.js'
import type { LocatedChart } from './locateChart.js'
import type { ChartReading } from './Reading.js'

/** More of a patch at full scale than this, and its mean means nothing. */
export const CLIPPED_PERCENT = 2

/** Light that changes more than this across the chart shows in the fit. */
const UNEVEN_PERCENT = 5

/** A patch this much rougher than the usual one is covered, scratched or mirrors a lamp. */
const ROUGH_RATIO = 4
const ROUGH_PERCENT = 6

/** Greys whose lightness is this far off after the fit tell of a tone curve, flare or a wrong profile. */
const TONE_OFF_L = 3

/** What a person should know of a chart before trusting the fit. */
export function chartWarnings(
  patches: ChartReading['patches'],
  { confidence, foundBy }: Pick<LocatedChart, 'confidence' | 'foundBy'>,
  unevenPercent: number,
  anchor: number,
  label: string,
): string[] {
  const warnings: string[] = []
  const clipped = patches.filter(({ clippedPercent }) => clippedPercent > CLIPPED_PERCENT)
  if (clipped.length > 0) {
    const standIn =
      anchor === CHART24_WHITE ? '' : `; the ${CHART24_NAMES[anchor]} patch takes the white patch's part`
    warnings.push(
      `${label}: clipped: ${names(clipped)}. These patches are left out of the fit${standIn}. Capture the chart again with less exposure`,
    )
  }
  if (unevenPercent > UNEVEN_PERCENT) {
    warnings.push(
      `${label}: the chart is unevenly lit: the light changes by about ${unevenPercent.toFixed(0)} % across the patches. It was evened out to first order; put flat-field before colour, or light the chart evenly`,
    )
  }
  const usual = median(patches.map(({ noisePercent }) => noisePercent))
  // The dark patches' relative noise is naturally higher; they are judged against twice the measure.
  const rough = patches.filter(({ noisePercent, referenceLabD50: [l] }) => {
    const bound = Math.max(ROUGH_PERCENT, ROUGH_RATIO * usual) * (l < 40 ? 2 : 1)
    return noisePercent > bound
  })
  if (rough.length > 0) {
    warnings.push(
      `${label}: not even: ${names(rough)}. Something covers these patches, or they mirror a lamp`,
    )
  }
  const usualError = median(patches.map(({ leftOut, after }) => leftOut ?? after))
  const strange = patches.filter(({ leftOut }) => leftOut !== null && leftOut > 8 && leftOut > 6 * usualError)
  if (strange.length > 0) {
    warnings.push(
      `${label}: far from the reference while the rest fits: ${names(strange)}. Is the chart faded, dirty or of another edition?`,
    )
  }
  const toneOff = Math.max(
    ...CHART24_GREYS.map((k) => Math.abs(patches[k].afterLabD50[0] - patches[k].referenceLabD50[0])),
  )
  if (toneOff > TONE_OFF_L) {
    warnings.push(
      `${label}: the greys are off by up to ${toneOff.toFixed(1)} L* after the fit: the capture's numbers do not run with the light (a tone curve or automatic brightening, flare, or a profile that is not the device's). Capture without automatic corrections`,
    )
  }
  const before = mean(patches.map((patch) => patch.before))
  const after = mean(patches.map((patch) => patch.after))
  if (after > before) {
    warnings.push(
      `${label}: the fit leaves more error than there was without it (mean dE2000 ${after.toFixed(2)} against ${before.toFixed(2)}): the capture does not suit a correction in linear light. Capture without automatic corrections, or leave the chart out`,
    )
  }
  if (foundBy === 'search' && confidence < 0.4) {
    warnings.push(
      `${label}: the chart was found, but another way of lying fits almost as well (confidence ${confidence.toFixed(2)}). Look at the picture in the report, or give colour: { corners: … }`,
    )
  }
  return warnings
}

const names = (patches: readonly { name: string }[]) => patches.map(({ name }) => name).join(', ')

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]
}
