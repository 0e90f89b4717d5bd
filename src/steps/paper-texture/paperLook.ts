import type { Tile } from '../../raster/Tile.js'
import { logPlanes } from './logLuminance.js'
import type { PaperLook } from './ReliefFilter.js'

/**
 * How the bare sheet looks: means of log luminance and of the colour ratios over blank places.
 * @param blank tiles of blank paper
 * @param tint the relief's own colour change, which is no colour of the sheet
 */
export function paperLook(blank: readonly Tile[], tint: readonly [number, number]): PaperLook {
  const planes = blank.map((tile) => logPlanes(tile))
  const mean = (key: 'luminance' | 'redness' | 'blueness') => {
    let [sum, count] = [0, 0]
    for (const { [key]: plane } of planes) {
      for (const value of plane) sum += value
      count += plane.length
    }
    return sum / count
  }
  const light = mean('luminance')
  const round = (value: number) => Number(value.toFixed(4))
  return {
    light: round(light),
    red: round(mean('redness') - tint[0] * light),
    blue: round(mean('blueness') - tint[1] * light),
  }
}
