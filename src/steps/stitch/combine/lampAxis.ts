import { powerSpectrum } from '../../../raster/fft/powerSpectrum.js'

const N = 64

/**
 * The direction the lamp's light runs across the sheet, degrees clockwise from the sheet's right, -90 to 90: slopes seen
 * along it vary most along it, being derivatives in that direction.
 * @param windows slopes along the lamp, 64 x 64 each
 */
export function lampAxis(windows: readonly Float32Array[]): number {
  let [xx, xy, yy] = [0, 0, 0]
  for (const window of windows) {
    const power = powerSpectrum(window, N)
    for (let y = 0; y < N; y++) {
      const ky = y < N / 2 ? y : y - N
      for (let x = 0; x < N; x++) {
        const kx = x < N / 2 ? x : x - N
        const square = kx * kx + ky * ky
        // The finest third is noise, and the corners of the square have more directions than others.
        if (square === 0 || square > (N / 3) ** 2) continue
        const share = power[y * N + x] / square
        xx += share * kx * kx
        xy += share * kx * ky
        yy += share * ky * ky
      }
    }
  }
  return (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI
}
