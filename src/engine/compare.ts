import { toPicture8 } from '../colour/toPicture8.js'
import type { Picture8 } from '../findings.js'
import type { Tile } from '../raster/Tile.js'
import type { Comparison } from '../report/ReportInput.js'

/** How much a difference is amplified for the eye: a change of 1 in 255 becomes 4. */
const AMPLIFIED = 4

/** Two states of one place side by side, and what changed between them about mid grey. */
export function compare(title: string, caption: string, before: Tile, after: Tile): Comparison {
  const a = toPicture8(before)
  const b = toPicture8(after)
  return {
    title,
    caption,
    before: a,
    after: b,
    difference: { picture: difference(a, b), amplified: AMPLIFIED },
  }
}

function difference(before: Picture8, after: Picture8): Picture8 {
  const rgb = new Uint8Array(before.rgb.length)
  for (let i = 0; i < rgb.length; i++) {
    rgb[i] = Math.max(0, Math.min(255, 128 + AMPLIFIED * (after.rgb[i] - before.rgb[i])))
  }
  return { width: before.width, height: before.height, rgb }
}
