import { fft2d } from './fft'
import { BARE_WITHIN, PAINTED_BEYOND } from './logExp'
import {
  addLanes, addPlain, addWindow, loadMix, loadWindow, packedGains, packedRatios, passedA, passedB, reversed, smoothedRatios,
  squares, trustOf, wrapColumn,
} from './windowed'

// The first stage of the windowed spectral filter of relief. All planes are float32.

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
 * The pilot for two windows. What the colour ratios explain is picture and is set aside; of the rest each frequency keeps
 * what its power, smoothed over its neighbours, exceeds the relief's.
 * @param y, rg, bg planes of log luminance and ratios; a, b the windows' offsets in bytes from their starts
 * @param spectra four planes of n rows of n + 4 floats: 1 / power of the relief; the same, bounded, for the fit; power
 *   as a share of the whole; 1 where a frequency tells a picture from relief
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
