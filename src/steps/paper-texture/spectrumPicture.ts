import type { Picture8 } from '../../findings.js'

/**
 * A power spectrum as a picture: zero frequency in the middle, logarithmic from black (40 dB below the peak) to white.
 * @param power `n * n`
 * @param zoom pixels a frequency
 */
export function spectrumPicture(power: Float32Array, n: number, zoom: number): Picture8 {
  const size = n * zoom
  const rgb = new Uint8Array(size * size * 3)
  let peak = 1e-20
  for (let i = 1; i < power.length; i++) peak = Math.max(peak, power[i])
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const ky = (Math.floor(y / zoom) + n / 2) % n
      const kx = (Math.floor(x / zoom) + n / 2) % n
      const decibel = 10 * Math.log10(power[ky * n + kx] / peak + 1e-12)
      const value = Math.round(255 * Math.min(1, Math.max(0, 1 + decibel / 40)))
      rgb.fill(value, (y * size + x) * 3, (y * size + x) * 3 + 3)
    }
  }
  return { width: size, height: size, rgb }
}
