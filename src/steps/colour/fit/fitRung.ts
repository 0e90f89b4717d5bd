import { apply3, IDENTITY3, invert3, multiply3 } from '../../../colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../../../colour/working.js'
import type { ChartColours } from './ChartColours.js'
import { differenceVector } from './differenceVector.js'
import { type Fit, type Rung, STRAIGHT, type Triple } from './Fit.js'
import { fitField } from './fitField.js'
import { labOfWorking, workingOfLab } from './labOfWorking.js'
import { leastSquares } from './leastSquares.js'
import { linearRow } from './linearRow.js'
import type { Straightened } from './straighten.js'
import { termCount, termsOf } from './terms.js'

/**
 * How strongly the terms beyond a channel's own are held back, as the square root of the weight beside errors in
 * dE2000. The matrix is held well enough by 24 patches; the roots are not, as several of them run almost alike.
 */
const RESTRAINT: Record<Rung, number> = {
  none: 0,
  gains: 0,
  matrix: 0,
  'root-polynomial': 0.3,
  'root-polynomial-3': 0.6,
  smooth: 0.3,
}

/**
 * Full colours of the device lie where no chart reaches. Where its profile says that they are colours that eyes see, the
 * roots are not to make them darker than black: what they lack to that weighs so much beside errors in dE2000.
 */
const FAR_RESTRAINT = 30

/**
 * Fits one rung so that the anchor patch is met exactly and the others in CIEDE2000: weighted least squares in linear
 * light first, refined by Levenberg-Marquardt on the difference taken apart into lightness, chroma and hue.
 *
 * With white at 1 in each channel, meeting the anchor means that the coefficients of each row sum to 1 where the
 * target's channels are divided by its white's; each channel's own coefficient is what the others leave.
 * @param straight the chart in linear light
 * @param used patches that take part
 * @throws RangeError where the anchor measures no light in a channel
 */
export function fitRung(
  rung: Rung,
  { labD50, deviceToWorking }: Pick<ChartColours, 'labD50' | 'deviceToWorking'>,
  straight: Straightened,
  used: readonly number[],
): Fit {
  const { anchor, lights, channels, tone } = straight
  if (!channels.every(Number.isFinite)) throw new RangeError('the white patch holds no light')
  const tones = rung === 'none' ? ([STRAIGHT, STRAIGHT, STRAIGHT] as Fit['tone']) : tone
  // Nothing is changed: from the channels straight back.
  if (rung === 'none') return { rung, channels, tone: tones, coefficients: invert3(channels) }
  const toDevice = invert3(deviceToWorking)
  const target = apply3(toDevice, workingOfLab(labD50[anchor]))
  const toWorking = multiply3(deviceToWorking, [target[0], 0, 0, 0, target[1], 0, 0, 0, target[2]])
  const toXyz = multiply3(WORKING_TO_XYZ_D50, toWorking)
  const n = termCount(rung)
  const terms = used.map((k) => termsOf(rung, ...lights[k]))
  const wanted = used.map((k) => apply3(toDevice, workingOfLab(labD50[k])).map((v, c) => v / target[c]))
  const free = rung === 'gains' ? 0 : n - 1
  const colourOf = (full: readonly number[], at: readonly number[]): Triple =>
    [0, 1, 2].map((c) => at.reduce((sum, term, k) => sum + full[c * n + k] * term, 0)) as Triple
  const restraint = RESTRAINT[rung]
  const far = n > 3 ? visibleFullColours(deviceToWorking).map((colour) => termsOf(rung, ...colour)) : []
  const residuals = (parameters: Float64Array) => {
    const full = fullRows(parameters, free, n)
    const errors = used.flatMap((k, i) =>
      differenceVector(labD50[k], labOfWorking(apply3(toWorking, colourOf(full, terms[i])))),
    )
    for (const at of far) {
      const xyz = apply3(toXyz, colourOf(full, at))
      errors.push(...xyz.map((v) => FAR_RESTRAINT * Math.min(0, v)))
    }
    return Float64Array.from(restraint > 0 ? [...errors, ...parameters.map((p) => restraint * p)] : errors)
  }
  const start = [0, 1, 2].flatMap((c) => linearRow(c, terms, wanted, free, restraint))
  const full = fullRows(leastSquares(residuals, start, { tolerance: 1e-6 }), free, n)
  const coefficients = [0, 1, 2].flatMap((row) =>
    Array.from({ length: n }, (_, k) =>
      [0, 1, 2].reduce((sum, c) => sum + toWorking[3 * row + c] * full[c * n + k], 0),
    ),
  )
  const fit = { rung, channels, tone: tones, coefficients }
  return rung === 'smooth' ? { ...fit, field: fitField(fit, { labD50 }, straight, used) } : fit
}

/** The corners of the device's cube that are light an eye can see; none where nothing is known of its channels. */
function visibleFullColours(deviceToWorking: readonly number[]): Triple[] {
  if (deviceToWorking.every((entry, k) => entry === IDENTITY3[k])) return []
  const toXyz = multiply3(WORKING_TO_XYZ_D50, deviceToWorking)
  return [1, 2, 3, 4, 5, 6]
    .map((k): Triple => [k & 1, (k >> 1) & 1, k >> 2])
    .filter((corner) => apply3(toXyz, corner).every((v) => v >= 0))
}

/** Coefficient rows from free parameters: each row's own channel takes what the row's others leave of 1. */
function fullRows(parameters: ArrayLike<number>, free: number, n: number): number[] {
  const full = new Array<number>(3 * n).fill(0)
  for (let c = 0; c < 3; c++) {
    let rest = 1
    for (let k = 0, p = c * free; k < n && free > 0; k++) {
      if (k === c) continue
      full[c * n + k] = parameters[p++]
      rest -= full[c * n + k]
    }
    full[c * n + c] = rest
  }
  return full
}
