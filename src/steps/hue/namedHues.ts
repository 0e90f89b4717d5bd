import { apply3, type Vector3 } from '../../colour/matrix3.js'
import { workingToOklch } from '../../colour/oklch.js'
import { toWorking } from '../../colour/working.js'

/** The colours that hue names stand for, as linear sRGB: the six full primaries and secondaries, and three between. */
const COLOURS = {
  red: [1, 0, 0],
  orange: [1, 0.25, 0],
  yellow: [1, 1, 0],
  green: [0, 1, 0],
  turquoise: [0, 1, 0.5],
  cyan: [0, 1, 1],
  blue: [0, 0, 1],
  violet: [0.25, 0, 1],
  magenta: [1, 0, 1],
} as const satisfies Record<string, Readonly<Vector3>>

export type HueName = keyof typeof COLOURS

/** Hue angles in Oklch, degrees, by name. */
export const NAMED_HUES = Object.fromEntries(
  Object.entries(COLOURS).map(([name, rgb]) => [name, workingToOklch(apply3(toWorking('sRGB'), rgb))[2]]),
) as Record<HueName, number>

export const HUE_NAMES = Object.keys(COLOURS) as HueName[]
