import { mirrored } from '../../src/raster/padded.js'
import type { Rect } from '../../src/raster/Rect.js'
import type { Transform } from '../Transform.js'

/** Half the kernel's width in pixels, and the phases tabulated in one pixel. */
const REACH = 3
const PHASES = 2048

/** Lanczos weights of six neighbours, for each phase, summing to 1. */
const KERNEL = (() => {
  const table = new Float64Array((PHASES + 1) * 2 * REACH)
  const sinc = (x: number) => (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x))
  for (let p = 0; p <= PHASES; p++) {
    let sum = 0
    for (let k = 0; k < 2 * REACH; k++) {
      const x = k - (REACH - 1) - p / PHASES
      sum += table[p * 2 * REACH + k] = Math.abs(x) < REACH ? sinc(x) * sinc(x / REACH) : 0
    }
    for (let k = 0; k < 2 * REACH; k++) table[p * 2 * REACH + k] /= sum
  }
  return table
})()

/**
 * Planes read at the places a transform gives, by a Lanczos kernel of three lobes; a whole-pixel transform copies exactly.
 * Outside the plane its mirror image continues.
 * @param planes of `from`'s size
 * @param from where the planes lie in the painting
 * @param transform from the pixels of the result to the painting
 * Source: C. E. Duchon, "Lanczos filtering in one and two dimensions", J. Appl. Meteorology 18, 1979,
 * doi:10.1175/1520-0450(1979)018<1016:LFIOAT>2.0.CO;2
 */
export function resampled(
  planes: readonly Float32Array[],
  from: Rect,
  [a, b, c, d, e, f]: Transform,
  width: number,
  height: number,
): Float32Array[] {
  const out = planes.map(() => new Float32Array(width * height))
  const columns = new Int32Array(2 * REACH)
  const [taps, wx, wy] = [2 * REACH, new Float64Array(2 * REACH), new Float64Array(2 * REACH)]
  const sums = new Float64Array(planes.length)
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const px = a * x + b * y + c - from.x
      const py = d * x + e * y + f - from.y
      const left = Math.floor(px + 0.5 / PHASES)
      const top = Math.floor(py + 0.5 / PHASES)
      const phaseX = Math.round((px - left) * PHASES) * taps
      const phaseY = Math.round((py - top) * PHASES) * taps
      for (let k = 0; k < taps; k++) {
        wx[k] = KERNEL[phaseX + k]
        wy[k] = KERNEL[phaseY + k]
        const column = left + k - REACH + 1
        columns[k] = column >= 0 && column < from.width ? column : mirrored(column, from.width)
      }
      sums.fill(0)
      for (let j = 0; j < taps; j++) {
        if (wy[j] === 0) continue
        const line = top + j - REACH + 1
        const row = (line >= 0 && line < from.height ? line : mirrored(line, from.height)) * from.width
        for (let p = 0; p < planes.length; p++) {
          const plane = planes[p]
          let sum = 0
          for (let k = 0; k < taps; k++) sum += wx[k] * plane[row + columns[k]]
          sums[p] += wy[j] * sum
        }
      }
      for (let p = 0; p < planes.length; p++) out[p][at] = sums[p]
    }
  }
  return out
}
