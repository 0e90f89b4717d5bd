import type { TakenReading } from './takeReadings.js'

/**
 * RMS of the sheet's relief that the steps so far have left, as a share of the light: what the last step that lessened it
 * measured. Undefined where none did.
 */
export const reliefLeft = (taken: readonly Pick<TakenReading, 'step' | 'stage'>[]): number | undefined =>
  taken
    .map(({ step, stage: { reading, params } }) => step.reliefLeft?.(reading, params))
    .findLast((left) => left !== undefined)
