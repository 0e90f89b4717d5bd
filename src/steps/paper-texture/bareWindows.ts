import { quantile } from '../shared/quantile.js'
import { NOISE_FALL } from './colourNoise.js'
import type { WindowFacts } from './windowFacts.js'

/** How much more uneven in its colour than the evenest a window may be: what is bare measured within 1.2 of each other. */
const MOST_UNEVEN = 1.25

/**
 * Those of the windows taken for blank paper that hold no paint at all. Relief leaves the colour ratios alone and paint
 * does not, so a trace of a wash that luminance hides under the relief shows in them: the windows whose ratios are as even
 * as the evenest, but for the noise that grows as light falls, are bare.
 */
export function bareWindows(used: readonly WindowFacts[]): WindowFacts[] {
  const unevenness = used.map(({ chromaVariance, tone }) => chromaVariance * 2 ** (NOISE_FALL * tone))
  const limit = MOST_UNEVEN * quantile(unevenness, 0.1)
  return used.filter((_, i) => unevenness[i] <= limit)
}
