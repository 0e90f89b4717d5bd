import type { Combining } from './Layer.js'

/** Below this share of combined places what was measured on them does not stand for the sheet. */
const NEARLY_ALL = 0.85

/**
 * RMS of the relief that combining turned captures leaves, as a share of the light.
 * @returns undefined where it was not measured, or much of the sheet is not combined
 */
export function reliefLeft({ severalShare, reliefRms, reliefDb }: Combining): number | undefined {
  if (severalShare < NEARLY_ALL || reliefRms === undefined || reliefDb === undefined) return undefined
  return reliefRms * 10 ** (reliefDb / 20)
}
