import type { Canvas, Place } from './Canvas.js'
import { smoothOutline } from './smoothOutline.js'

/** The pixels a hand's line runs through: rounded, one point about every three pixels, trembling a little. */
export function strokeLine(
  { width, height, random }: Canvas,
  through: readonly Place[],
  tremblePx: number,
): Float64Array {
  const rough = through.length > 2 ? smoothOutline(through, false, 8) : through
  const points: number[] = []
  let [wx, wy] = [0, 0]
  for (let i = 0; i + 1 < rough.length; i++) {
    const [ax, ay] = [rough[i][0] * width, rough[i][1] * height]
    const [bx, by] = [rough[i + 1][0] * width, rough[i + 1][1] * height]
    const pieces = Math.max(Math.round(Math.hypot(bx - ax, by - ay) / 3), 1)
    for (let k = 0; k < pieces; k++) {
      wx = 0.93 * wx + 0.37 * tremblePx * random.normal()
      wy = 0.93 * wy + 0.37 * tremblePx * random.normal()
      points.push(ax + ((bx - ax) * k) / pieces + wx, ay + ((by - ay) * k) / pieces + wy)
    }
  }
  const [u, v] = rough[rough.length - 1]
  points.push(u * width + wx, v * height + wy)
  return Float64Array.from(points)
}
