import { fft2d } from './fft'
import { BARE_WITHIN, exp2x4, log2x4, PAINTED_BEYOND } from './logExp'
import {
  addLanes, addPlain, addWeights, addWindow, loadMix, loadWindow, packedGains, packedRatios, passedA, passedB, reversed, smoothedRatios, squares,
  wrapColumn,
} from './windowed'

// The windowed spectral filter of relief. All planes are float32.

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

// Results of the last fit.
let mixA: f32 = 0
let mixB: f32 = 0

/**
 * The mix a, b of the two colour ratios that explains most of one window's luminance, by least squares over the
 * frequencies, each weighted by the inverse of the relief's power. `second` takes the imaginary one of the packed
 * luminances.
 */
function fitMix(
  yRe: usize, yIm: usize, cRe: usize, cIm: usize, whitening: usize, ridge: f32, second: bool, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const last = n << 2
  let a00 = f32x4.splat(0)
  let a01 = f32x4.splat(0)
  let a11 = f32x4.splat(0)
  let b0 = f32x4.splat(0)
  let b1 = f32x4.splat(0)
  // Half of the plane is enough, as a real picture's other half repeats it; the spectra below are twice their value.
  for (let r: usize = 0; r <= n >> 1; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    const share = f32x4.splat(r == 0 || r == n >> 1 ? 0.125 : 0.25)
    for (let c: usize = 0; c < last; c += 16) {
      const back = partner + last - c - 12
      const zr = v128.load(yRe + row + c)
      const zi = v128.load(yIm + row + c)
      const pr = reversed(v128.load(yRe + back))
      const pi = reversed(v128.load(yIm + back))
      const yr = second ? f32x4.add(zi, pi) : f32x4.add(zr, pr)
      const yi = second ? f32x4.sub(pr, zr) : f32x4.sub(zi, pi)
      const wr = v128.load(cRe + row + c)
      const wi = v128.load(cIm + row + c)
      const vr = reversed(v128.load(cRe + back))
      const vi = reversed(v128.load(cIm + back))
      const rr = f32x4.add(wr, vr)
      const ri = f32x4.sub(wi, vi)
      const br = f32x4.add(wi, vi)
      const bi = f32x4.sub(vr, wr)
      const q = f32x4.mul(share, v128.load(whitening + row + c))
      a00 = f32x4.add(a00, f32x4.mul(q, squares(rr, ri)))
      a11 = f32x4.add(a11, f32x4.mul(q, squares(br, bi)))
      a01 = f32x4.add(a01, f32x4.mul(q, f32x4.add(f32x4.mul(rr, br), f32x4.mul(ri, bi))))
      b0 = f32x4.add(b0, f32x4.mul(q, f32x4.add(f32x4.mul(rr, yr), f32x4.mul(ri, yi))))
      b1 = f32x4.add(b1, f32x4.mul(q, f32x4.add(f32x4.mul(br, yr), f32x4.mul(bi, yi))))
    }
  }
  const s00 = addLanes(a00) + ridge
  const s11 = addLanes(a11) + ridge
  const s01 = addLanes(a01)
  const t0 = addLanes(b0)
  const t1 = addLanes(b1)
  const inverse: f32 = 1 / (s00 * s11 - s01 * s01)
  mixA = (s11 * t0 - s01 * t1) * inverse
  mixB = (s00 * t1 - s01 * t0) * inverse
}

/** A window's largest smoothed ratio below which it shows nothing but relief, and above which it surely shows a picture. */
const BARE: f32 = 4
const PICTURED: f32 = 12

/** How far a window shows a picture besides relief, 0..1, from its largest smoothed ratio of power to the relief's. */
function picturedShare(most: f32): f32 {
  const t = Mathf.min(Mathf.max((most - BARE) / (PICTURED - BARE), 0), 1)
  return t * t * (3 - 2 * t)
}

/** How far even paint is spared beside a picture. */
const PAINT_SPARES: f32 = 0.7

/** How far a window's mean colour is off the bare sheet's, 0..1: in paint the finest structure may be pigment. */
function paintedShare(light: f32, red: f32, blue: f32, paper: usize): f32 {
  const apart = Mathf.max(
    Mathf.max(Mathf.abs(red - load<f32>(paper, 4)), Mathf.abs(blue - load<f32>(paper, 8))),
    load<f32>(paper) - light,
  )
  return PAINT_SPARES * Mathf.min(Mathf.max((apart - BARE_WITHIN) / (PAINTED_BEYOND - BARE_WITHIN), 0), 1)
}

/**
 * How far a window is to be trusted beside its neighbours: the inverse of the share of relief it lets pass. Windows over
 * an edge pass much, and their even part is better known from the windows that do not touch the edge.
 */
// @ts-ignore: decorator
@inline
function trustOf(passed: f32, eps: f32): f32 {
  return 1 / (passed + eps)
}

/**
 * The pilot for two windows. What the colour ratios explain is picture and is set aside; of the rest each frequency keeps
 * what its power, smoothed over its neighbours, exceeds the relief's.
 * @param y, rg, bg planes of log luminance and ratios; a, b the windows' offsets in bytes from their starts
 * @param spectra three planes of n rows of n + 4 floats: 1 / power of the relief; the same, bounded, for the fit; power
 *   as a share of the whole
 * @param out sums of the pilot, outRest sums of it without the mixes and means, outWeight of their weights
 * @param over multiple of the relief's power taken off; bareOver the same where a window shows bare sheet and no picture
 * @param eps a window's own share in its trust, see trustOf
 * @param mixes where the two windows' mixes are kept, and how far each shows a picture: twice four floats
 */
function pilotPair(
  y: usize, rg: usize, bg: usize, a: usize, b: usize, fromBytes: usize, out: usize, outRest: usize, outWeight: usize,
  weights: usize, spectra: usize, over: f32, bareOver: f32, ridge: f32, eps: f32, paper: usize,
  mixes: usize, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const yRe = work
  const yIm = yRe + plane
  const cRe = yIm + plane
  const cIm = cRe + plane
  const tmp = cIm + plane
  const mixOfA = tmp + 2 * plane
  const mixOfB = mixOfA + plane
  const ratioBytes: usize = (n << 2) + 32
  const ratioA = mixOfB + plane
  const ratioB = ratioA + ratioBytes * (n + 2)
  const meanA = loadWindow(y + a, fromBytes, weights, yRe, n, rowBytes)
  const meanB = loadWindow(y + b, fromBytes, weights, yIm, n, rowBytes)
  let paintedA: f32 = 0
  let paintedB: f32 = 0
  fft2d(yRe, yIm, tmp, tmp + plane, n, rowBytes)
  wrapColumn(yRe, n, rowBytes)
  wrapColumn(yIm, n, rowBytes)
  for (let second: usize = 0; second < 2; second++) {
    const at = second ? b : a
    const red = loadWindow(rg + at, fromBytes, weights, cRe, n, rowBytes)
    const blue = loadWindow(bg + at, fromBytes, weights, cIm, n, rowBytes)
    const painted = paintedShare(second ? meanB : meanA, red, blue, paper)
    if (second) paintedB = painted
    else paintedA = painted
    fft2d(cRe, cIm, tmp, tmp + plane, n, rowBytes)
    wrapColumn(cRe, n, rowBytes)
    wrapColumn(cIm, n, rowBytes)
    fitMix(yRe, yIm, cRe, cIm, spectra + plane, ridge, second != 0, n)
    store<f32>(mixes + (second << 4), mixA)
    store<f32>(mixes + (second << 4), mixB, 4)
    loadMix(rg + at, bg + at, mixA, mixB, fromBytes, weights, second ? mixOfB : mixOfA, n, rowBytes)
  }
  // The two rests, packed: the transform is linear, so the mixes' packed transform is taken off.
  memory.copy(cRe, mixOfA, plane)
  memory.copy(cIm, mixOfB, plane)
  fft2d(cRe, cIm, tmp, tmp + plane, n, rowBytes)
  for (let i: usize = 0; i < plane; i += 16) {
    v128.store(yRe + i, f32x4.sub(v128.load(yRe + i), v128.load(cRe + i)))
    v128.store(yIm + i, f32x4.sub(v128.load(yIm + i), v128.load(cIm + i)))
  }
  wrapColumn(yRe, n, rowBytes)
  wrapColumn(yIm, n, rowBytes)
  const smoothA = tmp
  const smoothB = tmp + plane
  packedRatios(yRe, yIm, spectra, spectra, 1, 1, ratioA, ratioB, n)
  const picturedA = Mathf.max(paintedA, picturedShare(smoothedRatios(ratioA, smoothA, spectra + 3 * plane, n)))
  const picturedB = Mathf.max(paintedB, picturedShare(smoothedRatios(ratioB, smoothB, spectra + 3 * plane, n)))
  store<f32>(mixes, picturedA, 8)
  store<f32>(mixes + 16, picturedB, 8)
  packedGains(
    yRe, yIm, smoothA, smoothB, over + (bareOver - over) * (1 - picturedA), over + (bareOver - over) * (1 - picturedB),
    spectra + 2 * plane, cRe, cIm, n,
  )
  fft2d(cIm, cRe, tmp, tmp + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(
    cRe, mixOfA, rowBytes, weights, meanA, scale, trustOf(passedA, eps), out + a, outWeight + a, fromBytes, n,
  )
  addPlain(cRe, rowBytes, weights, 0, scale * trustOf(passedA, eps), outRest + a, fromBytes, n)
  addWindow(
    cIm, mixOfB, rowBytes, weights, meanB, scale, trustOf(passedB, eps), out + b, outWeight + b, fromBytes, n,
  )
  addPlain(cIm, rowBytes, weights, 0, scale * trustOf(passedB, eps), outRest + b, fromBytes, n)
}

/**
 * pilotPair over a grid of windows, an even number of them in a row: the first lies at `at`, one `across` and one row of
 * them `down` bytes further. Their mixes follow each other.
 */
export function pilotGrid(
  columns: i32, rows: i32, across: usize, down: usize,
  y: usize, rg: usize, bg: usize, at: usize, fromBytes: usize, out: usize, outRest: usize, outWeight: usize,
  weights: usize, spectra: usize, over: f32, bareOver: f32, ridge: f32, eps: f32, paper: usize,
  mixes: usize, work: usize, n: usize,
): void {
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i += 2) {
      const a = at + <usize>j * down + <usize>i * across
      const own = mixes + (<usize>(j * columns + i) << 4)
      pilotPair(
        y, rg, bg, a, a + across, fromBytes, out, outRest, outWeight, weights, spectra, over, bareOver, ridge, eps, paper,
        own, work, n,
      )
    }
  }
}

let trust: f32 = 0

/** One window of the second stage: its filtered spectrum, times i where `second`, into the packed one. Returns the mean. */
function gainFromPilot(
  y: usize, rg: usize, bg: usize, pilot: usize, at: usize, fromBytes: usize, weights: usize, spectra: usize, over: f32,
  bareOver: f32, eps: f32, mixes: usize, mix: usize, work: usize, packed: usize, second: bool, n: usize,
): f32 {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const re = work
  const im = re + plane
  const mean = loadWindow(y + at, fromBytes, weights, re, n, rowBytes)
  loadWindow(pilot + at, fromBytes, weights, im, n, rowBytes)
  loadMix(rg + at, bg + at, load<f32>(mixes), load<f32>(mixes, 4), fromBytes, weights, mix, n, rowBytes)
  for (let i: usize = 0; i < plane; i += 16) {
    const m = v128.load(mix + i)
    v128.store(re + i, f32x4.sub(v128.load(re + i), m))
    v128.store(im + i, f32x4.sub(v128.load(im + i), m))
  }
  fft2d(re, im, im + plane, im + 2 * plane, n, rowBytes)
  wrapColumn(re, n, rowBytes)
  wrapColumn(im, n, rowBytes)
  const half = f32x4.splat(0.5)
  const vOver = f32x4.splat(over + (bareOver - over) * (1 - load<f32>(mixes, 8)))
  const share = spectra + 2 * plane
  const last = n << 2
  let passed = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    for (let c: usize = 0; c < last; c += 16) {
      const zr = v128.load(re + row + c)
      const zi = v128.load(im + row + c)
      const back = partner + last - c - 12
      const pr = reversed(v128.load(re + back))
      const pi = reversed(v128.load(im + back))
      const yr = f32x4.mul(half, f32x4.add(zr, pr))
      const yi = f32x4.mul(half, f32x4.sub(zi, pi))
      const qr = f32x4.mul(half, f32x4.add(zi, pi))
      const qi = f32x4.mul(half, f32x4.sub(pr, zr))
      const ratio = f32x4.mul(squares(qr, qi), v128.load(spectra + row + c))
      const gain = f32x4.div(ratio, f32x4.add(ratio, vOver))
      passed = f32x4.add(passed, f32x4.mul(v128.load(share + row + c), f32x4.mul(gain, gain)))
      const gr = f32x4.mul(gain, yr)
      const gi = f32x4.mul(gain, yi)
      const target = packed + row + c
      if (second) {
        v128.store(target, f32x4.sub(v128.load(target), gi))
        v128.store(target + plane, f32x4.add(v128.load(target + plane), gr))
      } else {
        v128.store(target, gr)
        v128.store(target + plane, gi)
      }
    }
  }
  trust = trustOf(addLanes(passed), eps)
  return mean
}

/** The second stage for two windows: gain = pilot's power / (pilot's power + over * relief's power). */
function finalPair(
  y: usize, rg: usize, bg: usize, pilot: usize, a: usize, b: usize, fromBytes: usize,
  out: usize, outWeight: usize, outA: usize, outB: usize, toBytes: usize,
  weights: usize, spectra: usize, over: f32, bareOver: f32, eps: f32, mixes: usize, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const packed = work + 4 * plane
  const mixOfA = packed + 2 * plane
  const mixOfB = mixOfA + plane
  const meanA = gainFromPilot(
    y, rg, bg, pilot, a, fromBytes, weights, spectra, over, bareOver, eps, mixes, mixOfA, work, packed, false, n,
  )
  const trustA = trust
  const meanB = gainFromPilot(
    y, rg, bg, pilot, b, fromBytes, weights, spectra, over, bareOver, eps, mixes + 16, mixOfB, work, packed, true, n,
  )
  const trustB = trust
  fft2d(packed + plane, packed, work, work + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(packed, mixOfA, rowBytes, weights, meanA, scale, trustA, out + outA, outWeight + outA, toBytes, n)
  addWindow(
    packed + plane, mixOfB, rowBytes, weights, meanB, scale, trustB, out + outB, outWeight + outB, toBytes, n,
  )
}

/**
 * finalPair over a grid of windows, an even number of them in a row: the first lies at `from` and goes to `to`, one
 * `across` bytes further, one row of them `fromDown` and `toDown`; the mixes' rows lie `mixesDown` bytes apart.
 */
export function finalGrid(
  columns: i32, rows: i32, across: usize, fromDown: usize, toDown: usize, mixesDown: usize,
  y: usize, rg: usize, bg: usize, pilot: usize, from: usize, fromBytes: usize, out: usize, outWeight: usize, to: usize,
  toBytes: usize, weights: usize, spectra: usize, over: f32, bareOver: f32, eps: f32, mixes: usize, work: usize, n: usize,
): void {
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i += 2) {
      const a = from + <usize>j * fromDown + <usize>i * across
      const b = to + <usize>j * toDown + <usize>i * across
      finalPair(
        y, rg, bg, pilot, a, a + across, fromBytes, out, outWeight, b, b + across, toBytes, weights, spectra, over, bareOver,
        eps, mixes + <usize>j * mixesDown + (<usize>i << 4), work, n,
      )
    }
  }
}

/** sums = sums / weights where anything was added; count is a multiple of 4. */
export function divideByWeights(sums: usize, weights: usize, count: i32): void {
  const least = f32x4.splat(1e-20)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(sums + i, f32x4.div(v128.load(sums + i), f32x4.max(v128.load(weights + i), least)))
  }
}
