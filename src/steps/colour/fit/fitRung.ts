import { xyzD50ToLab } from '../../../colour/lab.js'
import { apply3, IDENTITY3, invert3, multiply3 } from '../../../colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../../../colour/working.js'
import type { ChartColours } from './ChartColours.js'
import { differenceVector } from './differenceVector.js'
import { type Fit, type Rung, STRAIGHT, type Triple } from './Fit.js'
import { fitField } from './fitField.js'
import { workingOfLab } from './labOfWorking.js'
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

/** Up to so many roots are held as those of degree 2 are. */
const FEW_ROOTS = 4

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
 * @param roots terms beyond the three channels that may be used; all of the rung's where left out
 * @throws RangeError where the anchor measures no light in a channel
 */
export function fitRung(
  rung: Rung,
  { labD50, deviceToWorking }: Pick<ChartColours, 'labD50' | 'deviceToWorking'>,
  straight: Straightened,
  used: readonly number[],
  roots = Array.from({ length: termCount(rung) - 3 }, (_, k) => k + 3),
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
  const places = [0, 1, 2, ...roots]
  const n = places.length
  const chosen = (light: Readonly<Triple>) => {
    const all = termsOf(rung, ...light)
    return places.map((k) => all[k])
  }
  const terms = used.map((k) => chosen(lights[k]))
  const wanted = used.map((k) => apply3(toDevice, workingOfLab(labD50[k])).map((v, c) => v / target[c]))
  const free = rung === 'gains' ? 0 : n - 1
  const restraint = roots.length > FEW_ROOTS ? RESTRAINT[rung] : RESTRAINT[n > 3 ? 'root-polynomial' : rung]
  const far = n > 3 ? visibleFullColours(deviceToWorking).map(chosen) : []
  // Called some thousand times: loops and no lists of its own.
  const residuals = (parameters: Float64Array) => {
    const full = fullRows(parameters, free, n)
    const errors = new Float64Array(3 * (used.length + far.length) + (restraint > 0 ? parameters.length : 0))
    let at = 0
    for (let i = 0; i < used.length; i++) {
      const off = differenceVector(labD50[used[i]], xyzD50ToLab(xyzOf(toXyz, full, terms[i])))
      for (let c = 0; c < 3; c++) errors[at++] = off[c]
    }
    for (const light of far) {
      const xyz = xyzOf(toXyz, full, light)
      for (let c = 0; c < 3; c++) errors[at++] = FAR_RESTRAINT * Math.min(0, xyz[c])
    }
    if (restraint > 0) for (const parameter of parameters) errors[at++] = restraint * parameter
    return errors
  }
  const start = [0, 1, 2].flatMap((c) => linearRow(c, terms, wanted, free, restraint))
  const full = fullRows(leastSquares(residuals, start, { tolerance: 1e-4 }), free, n)
  const all = termCount(rung)
  const coefficients = new Array<number>(3 * all).fill(0)
  for (let row = 0; row < 3; row++) {
    places.forEach((place, k) => {
      const value = [0, 1, 2].reduce((sum, c) => sum + toWorking[3 * row + c] * full[c * n + k], 0)
      coefficients[row * all + place] = value
    })
  }
  const fit = { rung, channels, tone: tones, coefficients }
  return rung === 'smooth' ? { ...fit, field: fitField(fit, { labD50 }, straight, used) } : fit
}

/** XYZ of a colour's terms under coefficient rows. */
function xyzOf(toXyz: readonly number[], full: Float64Array, terms: readonly number[]): Triple {
  const n = terms.length
  let [x, y, z] = [0, 0, 0]
  for (let k = 0; k < n; k++) {
    x += full[k] * terms[k]
    y += full[n + k] * terms[k]
    z += full[2 * n + k] * terms[k]
  }
  return [
    toXyz[0] * x + toXyz[1] * y + toXyz[2] * z,
    toXyz[3] * x + toXyz[4] * y + toXyz[5] * z,
    toXyz[6] * x + toXyz[7] * y + toXyz[8] * z,
  ]
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
function fullRows(parameters: ArrayLike<number>, free: number, n: number): Float64Array {
  const full = new Float64Array(3 * n)
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
