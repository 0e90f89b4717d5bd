import type { Limited } from '../light/limitFields.js'
import type { Upright } from '../views/Upright.js'

/** Falloff of this share and more is beyond what a device's lamp does. */
const WARN_FALLOFF = 0.12

/** Says how much falloff the overlaps suggest where it was not evened out, and warns where that is large. */
export function noteFalloff(
  uprights: readonly Upright[],
  { concluded, capture, kept }: Limited,
  statements: string[],
  warnings: string[],
): void {
  if (kept === 1) return
  const text = `the overlaps suggest that light falls off by up to ${(concluded * 100).toFixed(0)} % (${uprights[capture].label}); only ${(kept * 100).toFixed(0)} % of that is evened out, as a sheet that does not lie flat looks the same: flat-field with a white board evens out what the lamp does`
  if (concluded > WARN_FALLOFF) warnings.push(text)
  else statements.push(text)
}
