import type { Params } from './params.js'
import type { ReliefReading } from './Reading.js'

/**
 * RMS of the relief the step leaves, as a share of the light: what was measured on the sheet before, and the share of it
 * measured to be left, mixed by the strength asked for. Undefined where the step found no relief.
 */
export function reliefLeft(
  {
    textured,
    reliefRmsPercent,
    residualDb,
  }: Pick<ReliefReading, 'textured' | 'reliefRmsPercent' | 'residualDb'>,
  { strength }: Pick<Params, 'strength'>,
): number | undefined {
  if (!textured) return undefined
  return (reliefRmsPercent / 100) * (1 - strength + strength * 10 ** (residualDb / 20))
}
