import type { PatchSample } from './samplePatch.js'

/** A patch this much rougher than the usual one, and by so much lightness, is covered, scratched or mirrors a lamp. */
const ROUGH_RATIO = 4
const ROUGH_L = 1.2

/** An error of a patch left out that is this large, and so much larger than the usual one, is not the fit's. */
const STRANGE_DELTA_E = 8
const STRANGE_RATIO = 6

/** No more of a chart than this is left out for being doubtful; beyond it the doubt is of the chart. */
export const MOST = 1 / 8

/** Patches that are not even: something covers them in part, or they mirror a lamp. */
export function roughPatches(
  samples: readonly PatchSample[],
  labD50: readonly (readonly number[])[],
): number[] {
  const roughness = samples.map(({ noisePercent }, k) => (noisePercent / 100) * perLight(labD50[k][0]))
  const bound = Math.max(ROUGH_L, ROUGH_RATIO * median(roughness))
  return few(
    indices(roughness, (value) => value > bound),
    samples.length,
  )
}

/**
 * Patches far from their reference while the rest fits: covered, faded, dirty or of another edition.
 * @param leftOut error of each patch left out, null where it took no part
 */
export function strangePatches(leftOut: readonly (number | null)[]): number[] {
  const usual = median(leftOut.filter((value) => value !== null))
  const bound = Math.max(STRANGE_DELTA_E, STRANGE_RATIO * usual)
  return indices(leftOut, (value) => value !== null && value > bound)
}

/** How much lightness changes with a relative change of the light: dL* / d ln Y (CIE 15:2018, L*). */
const perLight = (l: number) => (l > 8 ? (l + 16) / 3 : l)

const indices = <T>(values: readonly T[], holds: (value: T) => boolean) =>
  values.flatMap((value, k) => (holds(value) ? [k] : []))

const few = (found: number[], of: number) => (found.length <= MOST * of ? found : [])

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0
}
