import type { Source } from '../../raster/Source.js'
import { leakOf } from './leakOf.js'
import { logLuminance } from './logLuminance.js'
import { sampleGrid } from './sampleGrid.js'

/** Side and number of the places looked at: a hundred squares each. */
const PLACE_PX = 160
const MOST_PLACES = 16

/**
 * Share of the picture's area where its structure is in what was taken away, per cent, from places spread over it.
 * @param source, cleaned the picture before and after
 * @param reliefRmsPercent the relief's RMS in per cent of the light
 * @throws RangeError where the picture is smaller than a place
 */
export function measureLeak(source: Source, cleaned: Source, reliefRmsPercent: number): number {
  const side = Math.min(PLACE_PX, source.width, source.height)
  const whole = { x: 0, y: 0, width: source.width, height: source.height }
  const rms = reliefRmsPercent / 100 / Math.LN2
  let [squares, leaking] = [0, 0]
  for (const rect of sampleGrid(whole, side, MOST_PLACES)) {
    const [before, after] = [source, cleaned].map((picture) => logLuminance(picture.region(rect)))
    const found = leakOf(before, after, side, side, rms)
    squares += found.squares
    leaking += found.leaking
  }
  if (squares === 0) throw new RangeError('the picture is smaller than one square')
  return (100 * leaking) / squares
}
