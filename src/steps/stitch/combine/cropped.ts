import type { Rect } from '../../../raster/Rect.js'

/** A plane's part on `to`, which lies in `from`. */
export function cropped(plane: Float32Array, from: Rect, to: Rect): Float32Array<ArrayBuffer> {
  const out = new Float32Array(to.width * to.height)
  for (let j = 0; j < to.height; j++) {
    const start = (to.y - from.y + j) * from.width + to.x - from.x
    out.set(plane.subarray(start, start + to.width), j * to.width)
  }
  return out
}
