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
 * @param transform from the pixels of the result to the painting: a matrix, or any map of points
 * Source: C. E. Duchon, "Lanczos filtering in one and two dimensions", J. Appl. Meteorology 18, 1979,
 * doi:10.1175/1520-0450(1979)018<1016:LFIOAT>2.0.CO;2
 */
export function resampled(
  planes: readonly Float32Array[],
  from: Rect,
  transform: Transform | ((x: number, y: number) => readonly [x: number, y: number]),
  width: number,
  height: number,
): Float32Array[] {
  const out = planes.map(() => new Float32Array(width * height))
  const reads = planes.map((plane) => reader(plane, from))
  if (typeof transform === 'function') {
    for (let y = 0, at = 0; y < height; y++) {
      for (let x = 0; x < width; x++, at++) {
        const [px, py] = transform(x, y)
        for (let p = 0; p < reads.length; p++) out[p][at] = reads[p](px - from.x, py - from.y)
      }
    }
    return out
  }
  const [a, b, c, d, e, f] = transform
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const px = a * x + b * y + c - from.x
      const py = d * x + e * y + f - from.y
      for (let p = 0; p < reads.length; p++) out[p][at] = reads[p](px, py)
    }
  }
  return out
}

const TAPS = 2 * REACH

/** A plane's value at a place between its pixels. */
function reader(plane: Float32Array, { width, height }: Rect): (x: number, y: number) => number {
  const near = new Float32Array(TAPS * TAPS)
  return (x, y) => {
    const left = Math.floor(x + 0.5 / PHASES)
    const top = Math.floor(y + 0.5 / PHASES)
    const kx = Math.round((x - left) * PHASES) * TAPS
    const ky = Math.round((y - top) * PHASES) * TAPS
    const [x0, y0] = [left - REACH + 1, top - REACH + 1]
    if (x0 >= 0 && y0 >= 0 && x0 + TAPS <= width && y0 + TAPS <= height) {
      return weighted(plane, y0 * width + x0, width, kx, ky)
    }
    for (let j = 0; j < TAPS; j++) {
      const row = mirrored(y0 + j, height) * width
      for (let k = 0; k < TAPS; k++) near[j * TAPS + k] = plane[row + mirrored(x0 + k, width)]
    }
    return weighted(near, 0, TAPS, kx, ky)
  }
}

/** The kernel's sum over six by six values; the six of a row are written out, which a loop runs three times slower. */
function weighted(values: Float32Array, from: number, stride: number, kx: number, ky: number): number {
  const [w0, w1, w2] = [KERNEL[kx], KERNEL[kx + 1], KERNEL[kx + 2]]
  const [w3, w4, w5] = [KERNEL[kx + 3], KERNEL[kx + 4], KERNEL[kx + 5]]
  let sum = 0
  for (let j = 0, i = from; j < TAPS; j++, i += stride) {
    const upper = w0 * values[i] + w1 * values[i + 1] + w2 * values[i + 2]
    sum += KERNEL[ky + j] * (upper + w3 * values[i + 3] + w4 * values[i + 4] + w5 * values[i + 5])
  }
  return sum
}
