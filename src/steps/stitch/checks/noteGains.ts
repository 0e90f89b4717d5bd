import type { Correction } from '../light/LightField.js'
import type { Upright } from '../views/Upright.js'

/** A gain farther from 1 than this is worth a warning. */
const WARN_GAIN = 0.25

/** Warns about captures exposed very differently from the others. */
export function noteGains(
  uprights: readonly Upright[],
  corrections: readonly Correction[],
  warnings: string[],
): void {
  for (const [i, { gain }] of corrections.entries()) {
    const worst = gain.reduce(
      (most, value) => (Math.abs(Math.log(value)) > Math.abs(Math.log(most)) ? value : most),
      1,
    )
    if (Math.abs(Math.log(worst)) > Math.log(1 + WARN_GAIN)) {
      warnings.push(
        `${uprights[i].label} is exposed very differently from the others (matched by a factor of ${worst.toFixed(2)}); what it clipped is lost`,
      )
    }
  }
}
