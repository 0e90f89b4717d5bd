import type { Correction } from '../light/LightField.js'
import { median } from '../light/median.js'
import type { Upright } from '../views/Upright.js'

/** A gain farther from the others' than this is worth a warning. */
const WARN_GAIN = 0.25

/** Warns about captures exposed very differently from most. */
export function noteGains(
  uprights: readonly Upright[],
  corrections: readonly Correction[],
  warnings: string[],
): void {
  const logs = corrections.map(({ gain }) => gain.map(Math.log))
  const middle = [0, 1, 2].map((c) => median(logs.map((log) => log[c])))
  for (const [i, log] of logs.entries()) {
    const off = log.map((value, c) => value - middle[c])
    const worst = off.reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0)
    if (Math.abs(worst) <= Math.log(1 + WARN_GAIN)) continue
    const times = Math.exp(Math.abs(worst)).toFixed(1)
    const what =
      worst > 0
        ? `${times} times darker; lightened to match, it shows more noise`
        : `${times} times lighter; what it clipped at white is lost`
    warnings.push(`${uprights[i].label} is exposed very differently from the others: ${what}`)
  }
}
