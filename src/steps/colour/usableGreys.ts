import type { ChartLayout } from '../../colour/charts/ChartLayout.js'
import { apply3, type Matrix3 } from '../../colour/matrix3.js'
import { RequestError } from '../../errors.js'
import { CLIPPED_PERCENT, type PatchSample } from './samplePatch.js'

/** So many of the lightest greys may be clipped; with more of them gone, too little is known of the light tones. */
const CLIPPED_GREYS = 3

/** Less than this share of full scale in a channel of the lightest grey is too little to be measured. */
const LEAST_LIGHT = 0.01

/**
 * The greys of a chart that are not clipped, lightest first.
 * @param label the capture's name, for messages
 * @throws RequestError where the capture is exposed too much or too little to be used
 */
export function usableGreys(
  samples: readonly PatchSample[],
  { greys, patches }: ChartLayout,
  toDevice: Matrix3,
  label: string,
): number[] {
  const whole = greys.filter((k) => samples[k].clippedPercent <= CLIPPED_PERCENT)
  const lost = greys.indexOf(whole[1])
  if (whole.length < 2 || lost > Math.max(CLIPPED_GREYS, greys.length / 6)) {
    throw new RequestError({
      where: label,
      what: 'the chart is clipped: its light greys are at the end of the scale',
      todo: "Capture the chart again with less exposure, the same as the painting's",
    })
  }
  const white = apply3(toDevice, samples[whole[0]].linear)
  if (!white.every((v) => v > LEAST_LIGHT)) {
    throw new RequestError({
      where: label,
      what: 'the chart holds too little light to be measured',
      found: `${(100 * Math.min(...white)).toFixed(1)} % of full scale in the ${patches[whole[0]].name} patch`,
      todo: "Capture the chart again with more exposure, the same as the painting's",
    })
  }
  return whole
}
