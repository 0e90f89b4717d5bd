import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile } from '../../raster/Tile.js'
import type { Sharpening } from '../contract.js'

/** Luminance of the working space: the Y row of its matrix to XYZ. */
const LUMINANCE = WORKING_TO_XYZ_D50.slice(3, 6)
/** Root of luminance at which the noise floor stops shrinking with the light: 2 % of white, about the darkest ink on paper. */
const FLOOR_FOOT = Math.sqrt(0.02)
/** Keeps the gain of near-black pixels, whose colour is noise, near 1: 0.1 % of white. */
const GAIN_FOOT = 0.001

/**
 * Sharpens luminance and keeps every pixel's chromaticity. It works on the root s of luminance, which is near to how
 * light is seen: in linear light, dark lines get black outlines long before light ones get a halo. What is small is
 * sharpened alike in both. With g the Gaussian blur of s, d = s - g:
 *
 *     wished = s + amount d d² / (d² + n²)      n = noiseFloor / 2 (s + sqrt 0.02): differences below it stay as they are
 *     held   = not below the local min by more than limit x (max - min) of s,
 *              not above the local max by more than limit x (max - min) of s²
 *     r, g, b times (held² + 0.001) / (s² + 0.001)
 *
 * The local extremes are taken over the square that the blur reaches. Same pixels, same bits, whatever the region.
 * @param source the picture at its output size, linear light
 */
export function sharpened(source: Source, sharpening: Sharpening): Source {
  const { sigmaPx, amount } = sharpening
  if (!(sigmaPx > 0) || amount === 0) return source
  const gaussian = gaussianTaps(sigmaPx)
  const { width, height } = source
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      const halo = (gaussian.length - 1) / 2
      const wide = padded(source, {
        x: rect.x - halo,
        y: rect.y - halo,
        width: rect.width + 2 * halo,
        height: rect.height + 2 * halo,
      })
      const out = emptyTile(rect)
      sharpen(wide.planes, out.planes, rect, halo, gaussian, sharpening)
      return out
    },
  }
}

/** How far around a pixel the sharpening looks, in pixels. */
export function sharpeningHaloPx({ sigmaPx }: Sharpening): number {
  return Math.max(1, Math.ceil(3 * sigmaPx))
}

/** A sampled Gaussian out to three sigma, an odd number of weights summing to 1. */
export function gaussianTaps(sigmaPx: number): Float32Array {
  const reach = Math.max(1, Math.ceil(3 * sigmaPx))
  const exact = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigmaPx) ** 2))
  const sum = exact.reduce((a, b) => a + b, 0)
  return Float32Array.from(exact, (v) => v / sum)
}

function sharpen(
  planes: readonly Float32Array[],
  out: readonly Float32Array[],
  { width, height }: { width: number; height: number },
  halo: number,
  gaussian: Float32Array,
  { amount, limit, noiseFloor = 0 }: Sharpening,
): void {
  const count = gaussian.length
  const wideWidth = width + 2 * halo
  const wideHeight = height + 2 * halo
  const samples = wideWidth * wideHeight
  // Rows are worked on four samples at a time: the last four may run past their end.
  const stride = (width + 3) & ~3
  const SLACK = 16
  const wideBytes = samples * 4 + SLACK
  const bandBytes = wideHeight * stride * 4
  const rowBytes = stride * 4
  const [red, green, blue, root, taps, blurredAcross, lowAcross, highAcross, blurred, low, high, gain] =
    scratch(
      ...[wideBytes, wideBytes, wideBytes, wideBytes, gaussian.byteLength],
      ...[bandBytes, bandBytes, bandBytes, rowBytes, rowBytes, rowBytes, rowBytes],
    )
  const { memory, rootLuminance, addWeighted, extremes, sharpeningGain, multiply } = kernels()
  const view = (at: number, length: number) => new Float32Array(memory.buffer, at, length)
  const wide = [red, green, blue]
  wide.forEach((at, c) => {
    view(at, samples).set(planes[c])
  })
  view(taps, count).set(gaussian)
  rootLuminance(red, green, blue, root, (samples + 3) & ~3, LUMINANCE[0], LUMINANCE[1], LUMINANCE[2])

  view(blurredAcross, wideHeight * stride).fill(0)
  for (let j = 0; j < wideHeight; j++) {
    const row = root + j * wideWidth * 4
    const to = j * rowBytes
    addWeighted(row, 4, taps, count, blurredAcross + to, stride)
    extremes(row, row, 4, count, lowAcross + to, highAcross + to, stride)
  }
  for (let j = 0; j < height; j++) {
    const from = j * rowBytes
    view(blurred, stride).fill(0)
    addWeighted(blurredAcross + from, rowBytes, taps, count, blurred, stride)
    extremes(lowAcross + from, highAcross + from, rowBytes, count, low, high, stride)
    const inner = ((j + halo) * wideWidth + halo) * 4
    sharpeningGain(
      root + inner,
      blurred,
      low,
      high,
      gain,
      stride,
      amount,
      limit,
      noiseFloor / 2,
      FLOOR_FOOT,
      GAIN_FOOT,
    )
    wide.forEach((at, c) => {
      multiply(at + inner, gain, stride)
      out[c].set(view(at + inner, width), j * width)
    })
  }
}
