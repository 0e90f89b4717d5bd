import type { CaptureConditions } from './CaptureConditions.js'
import { describeExposure } from './describeExposure.js'

export interface NamedConditions {
  label: string
  conditions?: CaptureConditions
}

/** How captures were brought to the chart's exposure. */
export interface ExposureTie {
  by: 'metadata' | 'paper' | 'assumed'
  /** What each capture's light is multiplied by. */
  gains: number[]
  statement: string
  warnings: string[]
}

/** Exposures this near are one and the same; cameras round what they write by more. */
const SAME = 0.02
/** More stops than this between chart and painting, and the noise and the rounding of the metadata show. */
const MANY_STOPS = 2

/**
 * Light on the sensor per light in the scene, up to a factor that one camera keeps: time x sensitivity / f-number².
 * @returns undefined where time or sensitivity is not said; without an f-number (a lens that tells the camera nothing)
 * it is that of some fixed aperture
 * Source: ISO 12232:2019 (exposure H = 0.65 L t / N², sensitivity S = constant / H).
 */
export function relativeExposure({ timeS, fNumber, iso }: CaptureConditions = {}): number | undefined {
  return timeS && iso ? (timeS * iso) / (fNumber ?? 1) ** 2 : undefined
}

/**
 * Ties captures to a chart's exposure by what their files say of time, aperture and sensitivity.
 * @returns undefined where a file does not say, or some say an aperture and some none
 */
export function tieByMetadata(
  chart: NamedConditions,
  captures: readonly NamedConditions[],
): ExposureTie | undefined {
  const all = [chart, ...captures]
  const exposures = all.map(({ conditions }) => relativeExposure(conditions))
  const withAperture = all.filter(({ conditions }) => conditions?.fNumber).length
  if (exposures.some((one) => one === undefined) || (withAperture > 0 && withAperture < all.length)) {
    return undefined
  }
  const [own, ...others] = exposures as number[]
  const gains = others.map((exposure) => (Math.abs(own / exposure - 1) < SAME ? 1 : own / exposure))
  const aperture =
    withAperture === 0 ? ' No file says an aperture; it is taken to be the same in all of them.' : ''
  return {
    by: 'metadata',
    gains,
    statement: gains.every((gain) => gain === 1)
      ? `By their files, the chart and the painting were captured with the same exposure (${describeExposure(chart.conditions)}).${aperture}`
      : `The painting's captures are brought to the chart's exposure (${describeExposure(chart.conditions)}) by what their files say: ${list(captures, gains)}. It is assumed that the light kept its strength, and that the camera keeps to the times, apertures and sensitivities it writes.${aperture}`,
    warnings: tooFar(captures, gains),
  }
}

/** What stands where nothing says or shows how exposures compare: that they are the same. */
export function assumeSame(kind: 'flatbed' | 'camera', captures: readonly NamedConditions[]): ExposureTie {
  return {
    by: 'assumed',
    gains: captures.map(() => 1),
    statement:
      kind === 'flatbed'
        ? 'The scanner is taken to expose the chart and the painting alike.'
        : "Not all files say their exposure: the chart's and the painting's are taken to be the same. If they are not, the painting comes out too light or too dark; where the same blank paper shows beside the chart, write colour: { exposure: paper }.",
    warnings: [],
  }
}

/** Warnings about captures whose exposure is far from the chart's. */
export function tooFar(captures: readonly NamedConditions[], gains: readonly number[]): string[] {
  const far = captures.filter((_, i) => Math.abs(Math.log2(gains[i])) > MANY_STOPS)
  return far.length === 0
    ? []
    : [
        `${far.map(({ label }) => label).join(', ')}: more than ${MANY_STOPS} stops from the chart's exposure; small errors of the camera grow with that. Expose the chart like the painting`,
      ]
}

/** `frame-1.tif x 0.5 (1/60 s, ISO 100), …`, alike ones together. */
export function list(captures: readonly NamedConditions[], gains: readonly number[]): string {
  const groups = new Map<string, string[]>()
  captures.forEach(({ label, conditions }, i) => {
    const exposure = describeExposure(conditions)
    const key = `x ${gains[i].toPrecision(3)}${exposure ? ` (${exposure})` : ''}`
    groups.set(key, [...(groups.get(key) ?? []), label])
  })
  return [...groups].map(([key, labels]) => `${labels.join(', ')} ${key}`).join('; ')
}
