/** The two-dimensional Fourier transform by its defining sum, rows then columns, in double precision. */
export function plainDft2d(re: Float64Array, im: Float64Array, n: number, sign = -1) {
  const cos = Float64Array.from({ length: n }, (_, k) => Math.cos((2 * Math.PI * k) / n))
  const sin = Float64Array.from({ length: n }, (_, k) => sign * Math.sin((2 * Math.PI * k) / n))
  const along = (re: Float64Array, im: Float64Array, step: number, line: number) => {
    const outRe = new Float64Array(n * n)
    const outIm = new Float64Array(n * n)
    for (let l = 0; l < n; l++) {
      for (let k = 0; k < n; k++) {
        let sumRe = 0
        let sumIm = 0
        for (let i = 0; i < n; i++) {
          const at = l * line + i * step
          const turn = (k * i) % n
          sumRe += re[at] * cos[turn] - im[at] * sin[turn]
          sumIm += re[at] * sin[turn] + im[at] * cos[turn]
        }
        outRe[l * line + k * step] = sumRe
        outIm[l * line + k * step] = sumIm
      }
    }
    return { re: outRe, im: outIm }
  }
  const rows = along(re, im, 1, n)
  return along(rows.re, rows.im, n, 1)
}
