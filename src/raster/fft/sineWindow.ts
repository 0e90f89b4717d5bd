/**
 * The sine window sin(pi (i + 1/2) / n), i = 0..n-1: used before and after a spectral filter, windows half their size
 * apart add up to exactly one (sin^2 + cos^2).
 * @param n size in pixels
 */
export function sineWindow(n: number): Float32Array {
  return Float32Array.from({ length: n }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / n))
}
