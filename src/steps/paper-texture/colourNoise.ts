import { powerSpectrum } from '../../raster/fft/powerSpectrum.js'
import type { Tile } from '../../raster/Tile.js'
import { LUMINANCE, logPlanes } from './logLuminance.js'
import { meanSpectrum, toHalfPlane } from './spectrum.js'

/** Window size of the noise's spectra: noise has no long structure, and small windows hold fewest edges. */
export const NOISE_WINDOW = 16
/**
 * Noise power in a logarithm falls with light to this power: 1 for photon noise alone, 2 for read-out noise alone. 1.5
 * measured best on painted scenes with both.
 */
export const NOISE_FALL = 1.5

/**
 * Noise of the capture in the log2 ratios red/green and blue/green: power under windows of 16 px, for kx = 0..8, ky =
 * 0..15, at `ky * 9 + kx`, for light 1 in all channels (see NOISE_FALL).
 */
export interface ColourNoise {
  red: number[]
  blue: number[]
}

/**
 * Learns the noise of the colour ratios from blank paper: relief leaves the ratios alone, so what is uneven in them there
 * is noise.
 * @param blank tiles of blank paper, at least 16 x 16 px each
 * @param tint the relief's own colour change, which is no noise
 */
export function colourNoise(blank: readonly Tile[], tint: readonly [number, number]): ColourNoise {
  const n = NOISE_WINDOW
  const reds: Float32Array[] = []
  const blues: Float32Array[] = []
  for (const tile of blank) {
    const { width, height } = tile.rect
    const { luminance, redness, blueness } = logPlanes(tile)
    const less = (ratio: Float32Array, slope: number) => ratio.map((v, i) => v - slope * luminance[i])
    const planes = [luminance, less(redness, tint[0]), less(blueness, tint[1])]
    for (let y = 0; y + n <= height; y += n) {
      for (let x = 0; x + n <= width; x += n) {
        const [light, red, blue] = planes.map((plane) => cut(plane, width, x, y))
        const toRed = mean(red) + tint[0] * mean(light)
        const toBlue = mean(blue) + tint[1] * mean(light)
        const green =
          mean(light) - Math.log2(LUMINANCE[0] * 2 ** toRed + LUMINANCE[1] + LUMINANCE[2] * 2 ** toBlue)
        const own = 2 ** (-NOISE_FALL * green)
        reds.push(scaled(powerSpectrum(red, n), own + 2 ** (-NOISE_FALL * (green + toRed))))
        blues.push(scaled(powerSpectrum(blue, n), own + 2 ** (-NOISE_FALL * (green + toBlue))))
      }
    }
  }
  return { red: toHalfPlane(meanSpectrum(reds), n), blue: toHalfPlane(meanSpectrum(blues), n) }
}

const mean = (values: Float32Array) => values.reduce((a, b) => a + b, 0) / values.length
const scaled = (power: Float32Array, by: number) => power.map((v) => v / by)

function cut(plane: Float32Array, width: number, x: number, y: number): Float32Array {
  const part = new Float32Array(NOISE_WINDOW ** 2)
  for (let j = 0; j < NOISE_WINDOW; j++) {
    const from = (y + j) * width + x
    part.set(plane.subarray(from, from + NOISE_WINDOW), j * NOISE_WINDOW)
  }
  return part
}
