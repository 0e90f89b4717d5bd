import type { MatchedLight } from '../light/matchLight.js'
import type { Upright } from '../views/Upright.js'

/** Falloff of this share and more is beyond what a device's lamp does. */
const WARN_FALLOFF = 0.12

/** A loss of light towards a lens's corners below this is not worth a word. */
const SAID_LENS = 0.005

/**
 * Says what a lens takes from its corners, and how much falloff beside it the overlaps suggest where it was not evened out;
 * warns where that is large.
 */
export function noteFalloff(
  uprights: readonly Upright[],
  { concluded, capture, kept, lens }: MatchedLight,
  statements: string[],
  warnings: string[],
): void {
  const corners = 1 - Math.exp(-lens[2] - lens[4])
  if (corners > SAID_LENS) {
    statements.push(
      `the lens darkens its frames’ corners by ${(corners * 100).toFixed(0)} %, as their overlaps tell: that is evened out`,
    )
  }
  if (kept === 1) return
  const text = `the overlaps suggest that light falls off by up to ${(concluded * 100).toFixed(0)} % (${uprights[capture].label}); only ${(kept * 100).toFixed(0)} % of that is evened out, as a sheet that does not lie flat looks the same: flat-field with a white board evens out what the lamp does`
  if (concluded > WARN_FALLOFF) warnings.push(text)
  else statements.push(text)
}
