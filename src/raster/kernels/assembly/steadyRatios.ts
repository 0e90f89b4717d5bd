import { fft2d } from './fft'
import { exp2x4, log2x4 } from './logExp'
import { addPlain, addWeights, loadWindow, packedGains, packedRatios, smoothedRatios, wrapColumn } from './windowed'

// The colour ratios without the capture's noise. All planes are float32.

/**
 * One window of the two colour ratios without the capture's noise: each frequency keeps what its power, smoothed over its
 * neighbours, exceeds the noise's. Noise in a logarithm grows as light falls: its power is known for light 1 and scaled
 * by (red^-fall + green^-fall) and (blue^-fall + green^-fall) of the window's mean colour.
 * @param at the window's offset in bytes from the planes' starts
 * @param noise three planes of n rows of n + 4 floats: 1 / power of the noise in red/green, in blue/green; zeros
 * @param tintRed, tintBlue what logPlanes took from the ratios, as shares of y
 */
function steadyRatios(
  y: usize, rg: usize, bg: usize, at: usize, fromBytes: usize, outRed: usize, outBlue: usize, outWeight: usize,
  weights: usize, noise: usize, over: f32, fall: f32, wr: f32, wg: f32, wb: f32, tintRed: f32, tintBlue: f32,
  work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const re = work
  const im = re + plane
  const outRe = im + plane
  const outIm = outRe + plane
  const tmp = outIm + plane
  const ratioA = tmp + 2 * plane
  const ratioBytes: usize = (n << 2) + 32
  const ratioB = ratioA + ratioBytes * (n + 2)
  const light = loadWindow(y + at, fromBytes, weights, re, n, rowBytes)
  const red = loadWindow(rg + at, fromBytes, weights, re, n, rowBytes)
  const blue = loadWindow(bg + at, fromBytes, weights, im, n, rowBytes)
  const toRed = red + tintRed * light
  const toBlue = blue + tintBlue * light
  const green = light - log2of(wr * exp2of(toRed) + wg + wb * exp2of(toBlue))
  const own = exp2of(-fall * green)
  const scaleA: f32 = <f32>1 / (own + exp2of(-fall * (green + toRed)))
  const scaleB: f32 = <f32>1 / (own + exp2of(-fall * (green + toBlue)))
  fft2d(re, im, tmp, tmp + plane, n, rowBytes)
  wrapColumn(re, n, rowBytes)
  wrapColumn(im, n, rowBytes)
  packedRatios(re, im, noise, noise + plane, scaleA, scaleB, ratioA, ratioB, n)
  smoothedRatios(ratioA, tmp, noise + 2 * plane, n)
  smoothedRatios(ratioB, tmp + plane, noise + 2 * plane, n)
  packedGains(re, im, tmp, tmp + plane, over, over, noise + 2 * plane, outRe, outIm, n)
  fft2d(outIm, outRe, tmp, tmp + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addPlain(outRe, rowBytes, weights, red, scale, outRed + at, fromBytes, n)
  addPlain(outIm, rowBytes, weights, blue, scale, outBlue + at, fromBytes, n)
  addWeights(weights, outWeight + at, fromBytes, n)
}

/** steadyRatios over a grid of windows, whose first lies at `at`, one `across` and one row of them `down` bytes further. */
export function steadyGrid(
  columns: i32, rows: i32, across: usize, down: usize,
  y: usize, rg: usize, bg: usize, at: usize, fromBytes: usize, outRed: usize, outBlue: usize, outWeight: usize,
  weights: usize, noise: usize, over: f32, fall: f32, wr: f32, wg: f32, wb: f32, tintRed: f32, tintBlue: f32,
  work: usize, n: usize,
): void {
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      steadyRatios(
        y, rg, bg, at + <usize>j * down + <usize>i * across, fromBytes, outRed, outBlue, outWeight, weights, noise, over,
        fall, wr, wg, wb, tintRed, tintBlue, work, n,
      )
    }
  }
}

function exp2of(x: f32): f32 {
  return f32x4.extract_lane(exp2x4(f32x4.splat(x)), 0)
}

function log2of(x: f32): f32 {
  return f32x4.extract_lane(log2x4(f32x4.splat(x)), 0)
}
