/** A square complex plane, row by row. */
export interface ComplexPlane {
  size: number
  re: Float64Array
  im: Float64Array
}

/**
 * Forward Fourier transform in place, exp(-2 pi i (ux + vy) / n), not scaled; left transposed, which is all the same to
 * products of spectra. The inverse is the same call with the parts exchanged, divided by n^2, and restores the order.
 * @param plane `size` is a power of two
 * @param rows how many rows from the first on hold anything; the others are 0
 */
export function transform2d({ size, re, im }: ComplexPlane, rows = size): void {
  for (let y = 0; y < rows; y++) transformRow(re, im, y * size, size)
  for (let y = 0; y < size; y++) {
    for (let x = y + 1; x < size; x++) {
      const [a, b] = [y * size + x, x * size + y]
      const [r, i] = [re[a], im[a]]
      re[a] = re[b]
      im[a] = im[b]
      re[b] = r
      im[b] = i
    }
  }
  for (let y = 0; y < size; y++) transformRow(re, im, y * size, size)
}

const twiddles = new Map<number, { cos: Float64Array; sin: Float64Array; reversed: Uint32Array }>()

function twiddlesOf(size: number) {
  let found = twiddles.get(size)
  if (!found) {
    const bits = Math.log2(size)
    const reversed = new Uint32Array(size)
    for (let i = 1; i < size; i++) reversed[i] = (reversed[i >> 1] >> 1) | ((i & 1) << (bits - 1))
    const angles = Array.from({ length: size / 2 }, (_, i) => (2 * Math.PI * i) / size)
    found = {
      cos: Float64Array.from(angles, Math.cos),
      sin: Float64Array.from(angles, (angle) => -Math.sin(angle)),
      reversed,
    }
    twiddles.set(size, found)
  }
  return found
}

/** Radix 2, decimation in time. */
function transformRow(re: Float64Array, im: Float64Array, start: number, size: number): void {
  const { cos, sin, reversed } = twiddlesOf(size)
  for (let i = 0; i < size; i++) {
    const j = reversed[i]
    if (j <= i) continue
    const [a, b] = [start + i, start + j]
    const [r, m] = [re[a], im[a]]
    re[a] = re[b]
    im[a] = im[b]
    re[b] = r
    im[b] = m
  }
  for (let half = 1; half < size; half *= 2) {
    const step = size / (2 * half)
    for (let k = 0; k < half; k++) {
      const wr = cos[k * step]
      const wi = sin[k * step]
      for (let a = start + k; a < start + size; a += 2 * half) {
        const b = a + half
        const tr = re[b] * wr - im[b] * wi
        const ti = re[b] * wi + im[b] * wr
        re[b] = re[a] - tr
        im[b] = im[a] - ti
        re[a] += tr
        im[a] += ti
      }
    }
  }
}
