import { moved, type Placement } from '../Placement.js'
import { halfExtent } from './Upright.js'
import type { View } from './View.js'

/**
 * Bilinear light of a view at a centred point, into `out`.
 * @returns whether the point lies in the capture, at least half a view pixel from its border
 */
export function sampleLight({ upright, light }: View, x: number, y: number, out: Float64Array): boolean {
  const [halfX, halfY] = halfExtent(upright)
  const u = (x + halfX) / light.cell - 0.5
  const v = (y + halfY) / light.cell - 0.5
  const x0 = Math.floor(u)
  const y0 = Math.floor(v)
  if (x0 < 0 || y0 < 0 || x0 + 1 >= light.width || y0 + 1 >= light.height) return false
  const fx = u - x0
  const fy = v - y0
  const at = y0 * light.width + x0
  for (let c = 0; c < 3; c++) {
    const p = light.planes[c]
    out[c] =
      (p[at] * (1 - fx) + p[at + 1] * fx) * (1 - fy) +
      (p[at + light.width] * (1 - fx) + p[at + light.width + 1] * fx) * fy
  }
  return true
}

/**
 * Visits points of two captures' common area: the same place as both saw it.
 * @param map from the first's centred coordinates to the second's
 * @param most points at most, evenly spread
 * @param visit is given both lights, then the point in the first's and in the second's centred coordinates
 */
export function visitCommon(
  first: View,
  second: View,
  map: Placement,
  most: number,
  visit: (a: Float64Array, b: Float64Array, x: number, y: number, u: number, v: number) => void,
): void {
  const [halfX, halfY] = halfExtent(first.upright)
  const { width, height, cell } = first.light
  const stride = Math.max(1, Math.floor(Math.sqrt((width * height) / most)))
  const a = new Float64Array(3)
  const b = new Float64Array(3)
  for (let j = stride >> 1; j < height; j += stride) {
    for (let i = stride >> 1; i < width; i += stride) {
      const [x, y] = [(i + 0.5) * cell - halfX, (j + 0.5) * cell - halfY]
      const [u, v] = moved(map, x, y)
      if (!sampleLight(second, u, v, b)) continue
      const at = j * width + i
      for (let c = 0; c < 3; c++) a[c] = first.light.planes[c][at]
      visit(a, b, x, y, u, v)
    }
  }
}
