import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'

const { fround, max, min } = Math

/**
 * Decodes interleaved pixels through a grid, interpolated inside one of the six tetrahedra that share a cell's grey
 * diagonal: greys between two grey nodes stay exactly on the line between them, which eight-point interpolation does not
 * promise. Rounded after every operation as float32 arithmetic does: the same bits as the kernel's `decodeGridPixels`.
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
  const last = size - 1
  const stepR = size * size * 3
  const stepG = size * 3
  const stepB = 3
  const far = stepR + stepG + stepB
  const end = to + count
  for (let i = to, s = from; i < end; i++, s += 3) {
    const x = fround(curveR[data[s]] * last)
    const y = fround(curveG[data[s + 1]] * last)
    const z = fround(curveB[data[s + 2]] * last)
    const x0 = min(x | 0, last - 1)
    const y0 = min(y | 0, last - 1)
    const z0 = min(z | 0, last - 1)
    const fx = fround(x - x0)
    const fy = fround(y - y0)
    const fz = fround(z - z0)
    // From the near corner to the far one along the axes: the largest fraction's first, the smallest's last.
    const first = fx >= fy ? (fx >= fz ? stepR : stepB) : fy >= fz ? stepG : stepB
    const third = fx >= fy ? (fy >= fz ? stepB : stepG) : fx >= fz ? stepB : stepR
    const high = max(fx, fy, fz)
    const low = min(fx, fy, fz)
    const middle = max(min(fx, fy), min(max(fx, fy), fz))
    const w0 = fround(1 - high)
    const w1 = fround(high - middle)
    const w2 = fround(middle - low)
    const near = x0 * stepR + y0 * stepG + z0 * stepB
    const one = near + first
    const two = near + far - third
    const three = near + far
    for (let c = 0; c < 3; c++) {
      planes[c][i] =
        fround(fround(w0 * grid[near + c]) + fround(w1 * grid[one + c])) +
        fround(fround(w2 * grid[two + c]) + fround(low * grid[three + c]))
    }
  }
}
