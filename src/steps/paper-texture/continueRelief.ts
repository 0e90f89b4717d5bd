import type { Rect } from '../../raster/Rect.js'
import { CONTINUED_FROM, CONTINUED_TO, type Continuation } from './continuation.js'
import type { PaperLook } from './ReliefFilter.js'

/** Pixels inside that an edge's own light and colour are taken from. */
const STRIP = 24
/**
 * How far the ratios of a strip lie off the bare sheet's where it is still bare, and where it is surely painted; log2. The
 * same as the kernels' (assembly/logExp.ts).
 */
const BARE_WITHIN = 0.1
const PAINTED_BEYOND = 0.25

/**
 * Continues log luminance beyond the picture's edges, in place, where the sheet is bare there: each row and column goes on
 * as its relief foretells and dies away into its own mean. Where paint reaches the edge, the mirrored pixels stay.
 * @param light log luminance over `area`, outside the picture mirrored
 * @param red, blue log ratios over `area`
 * @param area any rectangle that meets the picture
 * @param picture the picture's size in pixels
 */
export function continueRelief(
  light: Float32Array,
  red: Float32Array,
  blue: Float32Array,
  area: Rect,
  picture: { width: number; height: number },
  { across, down }: Continuation,
  paper: PaperLook,
): void {
  const stride = area.width
  const line = (from: number, by: number, count: number, inside: number, weights: Float32Array) => {
    if (count <= 0) return
    const strip = Math.min(STRIP, inside)
    const mean = (plane: Float32Array) => {
      let sum = 0
      for (let i = 0; i < strip; i++) sum += plane[from + i * by]
      return sum / strip
    }
    const apart = Math.max(Math.abs(mean(red) - paper.red), Math.abs(mean(blue) - paper.blue))
    const painted = Math.min(Math.max((apart - BARE_WITHIN) / (PAINTED_BEYOND - BARE_WITHIN), 0), 1)
    if (painted === 1) return
    const own = mean(light)
    const taps = Math.min(CONTINUED_FROM, inside)
    for (let o = 0; o < count; o++) {
      let foretold = own
      if (o < CONTINUED_TO) {
        for (let i = 0; i < taps; i++) {
          foretold += weights[o * CONTINUED_FROM + i] * (light[from + i * by] - own)
        }
      }
      const at = from - (o + 1) * by
      light[at] = foretold + painted * (light[at] - foretold)
    }
  }
  const left = Math.max(0, -area.x)
  const top = Math.max(0, -area.y)
  const right = Math.min(area.width, picture.width - area.x)
  const bottom = Math.min(area.height, picture.height - area.y)
  for (let y = top; y < bottom; y++) {
    line(y * stride + left, 1, left, right - left, across)
    line(y * stride + right - 1, -1, area.width - right, right - left, across)
  }
  for (let x = 0; x < area.width; x++) {
    line(top * stride + x, stride, top, bottom - top, down)
    line((bottom - 1) * stride + x, -stride, area.height - bottom, bottom - top, down)
  }
}
