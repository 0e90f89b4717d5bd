import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'

/**
 * Decodes interleaved pixels through a grid, interpolated inside one of the six tetrahedra that share a cell's grey
 * diagonal: greys between two grey nodes stay exactly on the line between them, which eight-point interpolation does not
 * promise.
 * @param data encoded samples, interleaved RGB
 * @param from index of the first sample
 * @param planes where linear light is written, from index `to` on
 * @param count how many pixels
 */
export function decodeGridRow(
  data: Uint16Array,
  from: number,
  { curves, size, grid }: InputTransform & { kind: 'grid' },
  planes: Tile['planes'],
  to: number,
  count: number,
): void {
  const [curveR, curveG, curveB] = curves
  const [outR, outG, outB] = planes
  const last = size - 1
  const stepR = size * size * 3
  const stepG = size * 3
  const stepB = 3
  const far = stepR + stepG + stepB
  const end = to + count
  for (let i = to, s = from; i < end; i++, s += 3) {
    const r = curveR[data[s]] * last
    const g = curveG[data[s + 1]] * last
    const b = curveB[data[s + 2]] * last
    const r0 = Math.min(r | 0, last - 1)
    const g0 = Math.min(g | 0, last - 1)
    const b0 = Math.min(b | 0, last - 1)
    const fr = r - r0
    const fg = g - g0
    const fb = b - b0
    const near = r0 * stepR + g0 * stepG + b0 * stepB
    // From the near corner to the far one along the axes, the largest fraction first.
    let first: number
    let second: number
    let high: number
    let middle: number
    let low: number
    if (fr >= fg) {
      if (fg >= fb) {
        ;[high, middle, low, first, second] = [fr, fg, fb, stepR, stepR + stepG]
      } else if (fr >= fb) {
        ;[high, middle, low, first, second] = [fr, fb, fg, stepR, stepR + stepB]
      } else {
        ;[high, middle, low, first, second] = [fb, fr, fg, stepB, stepB + stepR]
      }
    } else if (fb >= fg) {
      ;[high, middle, low, first, second] = [fb, fg, fr, stepB, stepB + stepG]
    } else if (fb >= fr) {
      ;[high, middle, low, first, second] = [fg, fb, fr, stepG, stepG + stepB]
    } else {
      ;[high, middle, low, first, second] = [fg, fr, fb, stepG, stepG + stepR]
    }
    const w0 = 1 - high
    const w1 = high - middle
    const w2 = middle - low
    const n1 = near + first
    const n2 = near + second
    const n3 = near + far
    outR[i] = w0 * grid[near] + w1 * grid[n1] + w2 * grid[n2] + low * grid[n3]
    outG[i] = w0 * grid[near + 1] + w1 * grid[n1 + 1] + w2 * grid[n2 + 1] + low * grid[n3 + 1]
    outB[i] = w0 * grid[near + 2] + w1 * grid[n1 + 2] + w2 * grid[n2 + 2] + low * grid[n3 + 2]
  }
}
