import { lightness } from './find/lightView.js'
import type { ChannelTone, Fit } from './fit/Fit.js'
import { toLight } from './fit/toLight.js'
import type { LocatedChart } from './locateChart.js'
import type { ChartReading } from './Reading.js'
import { CLIPPED_PERCENT, type PatchSample } from './samplePatch.js'

/** Light that changes more than this across the chart shows in the fit. */
const UNEVEN_PERCENT = 5

/** Numbers this far from the light they stand for, as lightness, tell of a tone curve; so do greys after the fit. */
const TONE_OFF_L = 3

/** What a person should know of a chart before trusting the fit. */
export function chartWarnings(
  patches: ChartReading['patches'],
  samples: readonly PatchSample[],
  doubted: { rough: readonly number[]; strange: readonly number[]; many: readonly number[] },
  { confidence, foundBy, second }: Pick<LocatedChart, 'confidence' | 'foundBy' | 'second'>,
  unevenPercent: number,
  fit: Fit,
  anchor: number,
  greys: readonly number[],
  label: string,
): string[] {
  const warnings: string[] = []
  const clipped = patches.flatMap(({ name, clippedPercent }, k) =>
    clippedPercent > CLIPPED_PERCENT ? [withChannels(name, samples[k].clippedChannels)] : [],
  )
  if (clipped.length > 0) {
    const standIn =
      anchor === greys[0]
        ? ''
        : `; the ${patches[anchor].name} patch takes the ${patches[greys[0]].name} patch's part`
    warnings.push(
      `${label}: clipped: ${clipped.join(', ')}. These patches are left out of the fit${standIn}. Capture the chart again with less exposure`,
    )
  }
  const empty = patches.flatMap(({ name }, k) =>
    samples[k].emptyPercent > CLIPPED_PERCENT ? [withChannels(name, samples[k].emptyChannels)] : [],
  )
  if (empty.length > 0) {
    warnings.push(
      `${label}: no light left: ${empty.join(', ')}. The capture's space or its processing cuts these colours off; capture into a larger space or raw`,
    )
  }
  if (unevenPercent > UNEVEN_PERCENT) {
    warnings.push(
      `${label}: the chart is unevenly lit: the light changes by about ${unevenPercent.toFixed(0)} % across the patches. It was evened out for the fit, the painting's captures are not; put flat-field before colour, or light the chart evenly`,
    )
  }
  if (doubted.rough.length > 0) {
    warnings.push(
      `${label}: not even: ${names(doubted.rough.map((k) => patches[k]))}. Something covers these patches, or they mirror a lamp; they are left out of the fit`,
    )
  }
  if (doubted.strange.length > 0) {
    warnings.push(
      `${label}: far from the reference while the rest fits: ${names(doubted.strange.map((k) => patches[k]))}; left out of the fit. Are they covered, is the chart faded, dirty or of another edition?`,
    )
  }
  if (doubted.many.length > 0) {
    warnings.push(
      `${label}: far from the reference while the rest fits, and too many to leave out: ${names(doubted.many.map((k) => patches[k]))}. Is it this chart's reference?`,
    )
  }
  const bent = Math.max(...fit.tone.map(bentBy))
  if (bent > TONE_OFF_L) {
    warnings.push(
      `${label}: the capture's numbers do not run with the light, by up to ${bent.toFixed(0)} L*: a tone curve or automatic brightening. It was undone by the chart's greys, which holds for the painting only where its capture went through the very same. Capture without automatic corrections`,
    )
  }
  const toneOff = Math.max(
    ...greys.map((k) => Math.abs(patches[k].afterLabD50[0] - patches[k].referenceLabD50[0])),
  )
  if (toneOff > TONE_OFF_L && fit.rung !== 'none') {
    warnings.push(
      `${label}: the greys are off by up to ${toneOff.toFixed(1)} L* after the fit: the capture's numbers do not run with the light (a tone curve or automatic brightening, flare, or a profile that is not the device's). Capture without automatic corrections`,
    )
  }
  if (second) {
    const place = second.map((value) => Math.round(value)).join(', ')
    warnings.push(
      `${label}: there are two charts in the picture; the one that matches better was taken (magenta in the report), the other lies about ${place} px. Cover one, or give colour: { corners: … }`,
    )
  }
  if (foundBy === 'search' && confidence < 0.4) {
    warnings.push(
      `${label}: the chart was found, but another way of lying fits almost as well (confidence ${confidence.toFixed(2)}). Look at the picture in the report, or give colour: { corners: … }`,
    )
  }
  return warnings
}

/** How far a channel's numbers are from the light they stand for, at most, as lightness. */
function bentBy(tone: ChannelTone): number {
  const shares = Array.from({ length: 50 }, (_, i) => ((i + 1) / 50) ** 3)
  return Math.max(...shares.map((share) => Math.abs(lightness(toLight(share, tone)) - lightness(share))))
}

/** `white (red, green, blue)`: which of the device's channels; all of them go without saying. */
const withChannels = (name: string, channels: readonly string[]) =>
  channels.length === 3 ? name : `${name} (${channels.join(', ')} channel)`

const names = (patches: readonly { name: string }[]) => patches.map(({ name }) => name).join(', ')
