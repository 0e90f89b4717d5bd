import type { TakenReading } from './takeReadings.js'

/**
 * RMS of the paper's relief that the master still has, as a share of the light: what `paper-texture` measured on blank
 * paper before, and the share of it that was measured to be left, mixed by the strength asked for. Undefined where the
 * step is not there or found none.
 */
export function reliefLeft(taken: readonly Pick<TakenReading, 'stage'>[]): number | undefined {
  const stage = taken.find(({ stage: { name } }) => name === 'paper-texture')?.stage
  if (!stage) return undefined
  const { textured, reliefRmsPercent, residualDb } = stage.reading as {
    textured?: boolean
    reliefRmsPercent?: number
    residualDb?: number
  }
  if (!textured || !(reliefRmsPercent! >= 0) || !(residualDb! <= 0)) return undefined
  const { strength = 1 } = stage.params as { strength?: number }
  return (reliefRmsPercent! / 100) * (1 - strength + strength * 10 ** (residualDb! / 20))
}
