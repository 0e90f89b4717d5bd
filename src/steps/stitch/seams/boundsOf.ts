import type { Rect } from '../../../raster/Rect.js'

/** The smallest rectangle that holds every weight but 0. */
export function boundsOf(weight: Float32Array, { x, y, width, height }: Rect): Rect | undefined {
  let [x0, x1, y0, y1] = [width, -1, height, -1]
  for (let j = 0; j < height; j++) {
    const row = j * width
    let first = 0
    while (first < width && weight[row + first] === 0) first++
    if (first === width) continue
    let last = width - 1
    while (weight[row + last] === 0) last--
    x0 = Math.min(x0, first)
    x1 = Math.max(x1, last)
    y0 = Math.min(y0, j)
    y1 = j
  }
  return x1 < 0 ? undefined : { x: x + x0, y: y + y0, width: x1 - x0 + 1, height: y1 - y0 + 1 }
}
