/**
 * A plane smoothed by the binomial weights 1 4 6 4 1 with holes: taps lie `step` pixels apart. Beyond the borders the
 * outermost pixel repeats; a caller who wants the same bits everywhere leaves 2 x step pixels of margin.
 * Source: J.-L. Starck, J. Fadili, F. Murtagh, "The undecimated wavelet decomposition and its reconstruction", IEEE Trans.
 * Image Processing 16(2), 2007, pp. 297-309, doi:10.1109/TIP.2006.887733 (the B3 spline scheme; from memory).
 */
export function spread(plane: Float32Array, width: number, height: number, step: number): Float32Array {
  const across = new Float32Array(plane.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    const last = row + width - 1
    const edge = (i: number) => {
      const left2 = Math.max(i - 2 * step, row)
      const left = Math.max(i - step, row)
      const right = Math.min(i + step, last)
      const right2 = Math.min(i + 2 * step, last)
      across[i] =
        0.0625 * (plane[left2] + plane[right2]) + 0.25 * (plane[left] + plane[right]) + 0.375 * plane[i]
    }
    const from = Math.min(row + 2 * step, last + 1)
    const to = Math.max(from, last + 1 - 2 * step)
    for (let i = row; i < from; i++) edge(i)
    for (let i = from; i < to; i++) {
      across[i] =
        0.0625 * (plane[i - 2 * step] + plane[i + 2 * step]) +
        0.25 * (plane[i - step] + plane[i + step]) +
        0.375 * plane[i]
    }
    for (let i = to; i <= last; i++) edge(i)
  }
  const out = new Float32Array(plane.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    const up2 = Math.max(y - 2 * step, 0) * width
    const up = Math.max(y - step, 0) * width
    const down = Math.min(y + step, height - 1) * width
    const down2 = Math.min(y + 2 * step, height - 1) * width
    for (let x = 0; x < width; x++) {
      out[row + x] =
        0.0625 * (across[up2 + x] + across[down2 + x]) +
        0.25 * (across[up + x] + across[down + x]) +
        0.375 * across[row + x]
    }
  }
  return out
}
