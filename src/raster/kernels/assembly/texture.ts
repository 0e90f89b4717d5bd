import { fft2d } from './fft'

// Log luminance and its windowed spectral filter. All planes are float32.

/** log2 of positive finite numbers; absolute error below 2e-7. From the series of artanh on [1/sqrt 2, sqrt 2]. */
// @ts-ignore: decorator
@inline
function log2x4(x: v128): v128 {
  // The exponent of x / sqrt(1/2), so that the mantissa left lies in [sqrt(1/2), sqrt 2).
  const bits = i32x4.sub(x, i32x4.splat(0x3f3504f3))
  const exponent = i32x4.shr_s(bits, 23)
  const mantissa = i32x4.sub(x, i32x4.shl(exponent, 23))
  const one = f32x4.splat(1)
  const t = f32x4.div(f32x4.sub(mantissa, one), f32x4.add(mantissa, one))
  const u = f32x4.mul(t, t)
  // 2 / ln 2 * (1 + u / 3 + u^2 / 5 + u^3 / 7 + u^4 / 9)
  let p = f32x4.splat(<f32>(2.8853900817779268 / 9))
  p = f32x4.add(f32x4.mul(p, u), f32x4.splat(<f32>(2.8853900817779268 / 7)))
  p = f32x4.add(f32x4.mul(p, u), f32x4.splat(<f32>(2.8853900817779268 / 5)))
  p = f32x4.add(f32x4.mul(p, u), f32x4.splat(<f32>(2.8853900817779268 / 3)))
  p = f32x4.add(f32x4.mul(p, u), f32x4.splat(<f32>2.8853900817779268))
  return f32x4.add(f32x4.convert_i32x4_s(exponent), f32x4.mul(p, t))
}

/** 2 to the x for |x| <= 126 (held inside); relative error below 3e-7. Taylor's series on [-1/2, 1/2]. */
// @ts-ignore: decorator
@inline
function exp2x4(x: v128): v128 {
  const held = f32x4.max(f32x4.min(x, f32x4.splat(126)), f32x4.splat(-126))
  const whole = f32x4.nearest(held)
  const f = f32x4.mul(f32x4.sub(held, whole), f32x4.splat(<f32>0.6931471805599453))
  let p = f32x4.splat(<f32>(1.0 / 5040))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(<f32>(1.0 / 720)))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(<f32>(1.0 / 120)))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(<f32>(1.0 / 24)))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(<f32>(1.0 / 6)))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(0.5))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(1))
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(1))
  return i32x4.add(p, i32x4.shl(i32x4.trunc_sat_f32x4_s(whole), 23))
}

/**
 * y = log2(Y + offset) and the log ratios of red to green and of blue to green, each channel with the offset and held at
 * 0 from below, less the share of y by which relief itself changes them; count is a multiple of 4.
 */
export function logPlanes(
  r: usize, g: usize, b: usize, y: usize, rg: usize, bg: usize, count: i32, wr: f32, wg: f32, wb: f32, offset: f32,
  tintRed: f32, tintBlue: f32,
): void {
  const vr = f32x4.splat(wr)
  const vg = f32x4.splat(wg)
  const vb = f32x4.splat(wb)
  const vo = f32x4.splat(offset)
  const zero = f32x4.splat(0)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const red = v128.load(r + i)
    const green = v128.load(g + i)
    const blue = v128.load(b + i)
    const light = f32x4.add(f32x4.add(f32x4.mul(red, vr), f32x4.mul(green, vg)), f32x4.mul(blue, vb))
    const logLight = log2x4(f32x4.add(f32x4.max(light, zero), vo))
    v128.store(y + i, logLight)
    const logGreen = log2x4(f32x4.add(f32x4.max(green, zero), vo))
    const toRed = f32x4.sub(log2x4(f32x4.add(f32x4.max(red, zero), vo)), logGreen)
    const toBlue = f32x4.sub(log2x4(f32x4.add(f32x4.max(blue, zero), vo)), logGreen)
    v128.store(rg + i, f32x4.sub(toRed, f32x4.mul(f32x4.splat(tintRed), logLight)))
    v128.store(bg + i, f32x4.sub(toBlue, f32x4.mul(f32x4.splat(tintBlue), logLight)))
  }
}

/** out = 2^(amount (clean - noisy)); count is a multiple of 4. */
export function reliefFactor(clean: usize, noisy: usize, out: usize, count: i32, amount: f32): void {
  const va = f32x4.splat(amount)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(out + i, exp2x4(f32x4.mul(va, f32x4.sub(v128.load(clean + i), v128.load(noisy + i)))))
  }
}

/** Copies a window without its weighted mean, times the window in both directions. Returns the mean. */
function loadWindow(from: usize, fromBytes: usize, weights: usize, out: usize, n: usize, rowBytes: usize): f32 {
  const end = n << 2
  let sum = f32x4.splat(0)
  let all = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = from + r * fromBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      sum = f32x4.add(sum, f32x4.mul(w, v128.load(row + c)))
      all = f32x4.add(all, w)
    }
  }
  const mean = addLanes(sum) / addLanes(all)
  const vm = f32x4.splat(mean)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = from + r * fromBytes
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      v128.store(
        target + c,
        f32x4.mul(f32x4.sub(v128.load(row + c), vm), f32x4.mul(wr, v128.load(weights + c))),
      )
    }
  }
  return mean
}

// @ts-ignore: decorator
@inline
function addLanes(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  )
}

/** The same for the mix a rg + b bg of two planes. */
function loadMix(
  rg: usize, bg: usize, a: f32, b: f32, fromBytes: usize, weights: usize, out: usize, n: usize, rowBytes: usize,
): void {
  const end = n << 2
  const va = f32x4.splat(a)
  const vb = f32x4.splat(b)
  let sum = f32x4.splat(0)
  let all = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = r * fromBytes
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      const mix = f32x4.add(f32x4.mul(va, v128.load(rg + row + c)), f32x4.mul(vb, v128.load(bg + row + c)))
      const part = f32x4.mul(w, mix)
      sum = f32x4.add(sum, part)
      all = f32x4.add(all, w)
      v128.store(target + c, part)
    }
  }
  const vm = f32x4.splat(addLanes(sum) / addLanes(all))
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      v128.store(target + c, f32x4.sub(v128.load(target + c), f32x4.mul(w, vm)))
    }
  }
}

/** Adds trust * window * (scale * part + mix + window * mean) to one plane, and trust * window^2 to the other. */
function addWindow(
  part: usize, mix: usize, rowBytes: usize, weights: usize, mean: f32, scale: f32, trust: f32,
  to: usize, weightTo: usize, toBytes: usize, n: usize,
): void {
  const end = n << 2
  const vm = f32x4.splat(mean)
  const vs = f32x4.splat(scale)
  const vt = f32x4.splat(trust)
  for (let r: usize = 0; r < n; r++) {
    const wr = f32x4.mul(vt, v128.load_splat<f32>(weights + (r << 2)))
    const ur = v128.load_splat<f32>(weights + (r << 2))
    const row = r * rowBytes
    const target = r * toBytes
    for (let c: usize = 0; c < end; c += 16) {
      const across = v128.load(weights + c)
      const w = f32x4.mul(ur, across)
      const tw = f32x4.mul(wr, across)
      const inside = f32x4.add(
        f32x4.add(f32x4.mul(vs, v128.load(part + row + c)), v128.load(mix + row + c)),
        f32x4.mul(w, vm),
      )
      const at = to + target + c
      const weightAt = weightTo + target + c
      v128.store(at, f32x4.add(v128.load(at), f32x4.mul(tw, inside)))
      v128.store(weightAt, f32x4.add(v128.load(weightAt), f32x4.mul(tw, w)))
    }
  }
}

/** Repeats column 0 behind the last column, so that four partners -k can be loaded at once. */
function wrapColumn(part: usize, n: usize, rowBytes: usize): void {
  for (let r: usize = 0; r < n; r++) {
    const row = part + r * rowBytes
    store<f32>(row + (n << 2), load<f32>(row))
  }
}

// @ts-ignore: decorator
@inline
function reversed(v: v128): v128 {
  return v128.shuffle<i32>(v, v, 3, 2, 1, 0)
}

// @ts-ignore: decorator
@inline
function squares(a: v128, b: v128): v128 {
  return f32x4.add(f32x4.mul(a, a), f32x4.mul(b, b))
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

/** Fills one column before and one behind, and one row above and below, from the other side. */
function wrapRatios(plane: usize, n: usize, rowBytes: usize): void {
  for (let r: usize = 1; r <= n; r++) {
    const row = plane + r * rowBytes
    store<f32>(row + 12, load<f32>(row + 16 + ((n - 1) << 2)))
    store<f32>(row + 16 + (n << 2), load<f32>(row + 16))
  }
  memory.copy(plane, plane + n * rowBytes, rowBytes)
  memory.copy(plane + (n + 1) * rowBytes, plane + rowBytes, rowBytes)
}

/** A 3 x 3 mean with weights 1 2 1 in both directions, of the four ratios at `at`. */
// @ts-ignore: decorator
@inline
function smoothed(at: usize, rowBytes: usize): v128 {
  const two = f32x4.splat(2)
  const left = down(at - 4, rowBytes, two)
  const middle = down(at, rowBytes, two)
  const right = down(at + 4, rowBytes, two)
  return f32x4.mul(
    f32x4.splat(0.0625),
    f32x4.add(f32x4.add(left, right), f32x4.mul(two, middle)),
  )
}

// @ts-ignore: decorator
@inline
function down(at: usize, rowBytes: usize, two: v128): v128 {
  return f32x4.add(
    f32x4.add(v128.load(at - rowBytes), v128.load(at + rowBytes)),
    f32x4.mul(two, v128.load(at)),
  )
}

/**
 * How far a window is to be trusted beside its neighbours: the inverse of the share of relief it lets pass. Windows over
 * an edge pass much, and their even part is better known from the windows that do not touch the edge.
 */
// @ts-ignore: decorator
@inline
function trustOf(passed: v128): f32 {
  return 1 / (addLanes(passed) + <f32>0.01)
}

/**
 * The pilot for two windows. What the colour ratios explain is picture and is set aside; of the rest each frequency keeps
 * what its power, smoothed over its neighbours, exceeds the relief's.
 * @param y, rg, bg planes of log luminance and ratios; a, b the windows' offsets in bytes from their starts
 * @param spectra three planes of n rows of n + 4 floats: 1 / power of the relief; the same, bounded, for the fit; power
 *   as a share of the whole
 * @param mixes where the two windows' mixes are kept: four floats
 */
export function pilotPair(
  y: usize, rg: usize, bg: usize, a: usize, b: usize, fromBytes: usize, out: usize, outWeight: usize,
  weights: usize, spectra: usize, over: f32, ridge: f32, mixes: usize, work: usize, n: usize,
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
  fft2d(yRe, yIm, tmp, tmp + plane, n, rowBytes)
  wrapColumn(yRe, n, rowBytes)
  wrapColumn(yIm, n, rowBytes)
  for (let second: usize = 0; second < 2; second++) {
    const at = second ? b : a
    loadWindow(rg + at, fromBytes, weights, cRe, n, rowBytes)
    loadWindow(bg + at, fromBytes, weights, cIm, n, rowBytes)
    fft2d(cRe, cIm, tmp, tmp + plane, n, rowBytes)
    wrapColumn(cRe, n, rowBytes)
    wrapColumn(cIm, n, rowBytes)
    fitMix(yRe, yIm, cRe, cIm, spectra + plane, ridge, second != 0, n)
    store<f32>(mixes + (second << 3), mixA)
    store<f32>(mixes + (second << 3), mixB, 4)
    loadMix(rg + at, bg + at, mixA, mixB, fromBytes, weights, second ? mixOfB : mixOfA, n, rowBytes)
  }
  // The two rests, packed: the transform is linear, so the mixes' packed transform is taken off.
  memory.copy(cRe, mixOfA, plane)
  memory.copy(cIm, mixOfB, plane)
  fft2d(cRe, cIm, tmp, tmp + plane, n, rowBytes)
  const last = n << 2
  for (let i: usize = 0; i < plane; i += 16) {
    v128.store(yRe + i, f32x4.sub(v128.load(yRe + i), v128.load(cRe + i)))
    v128.store(yIm + i, f32x4.sub(v128.load(yIm + i), v128.load(cIm + i)))
  }
  wrapColumn(yRe, n, rowBytes)
  wrapColumn(yIm, n, rowBytes)
  const quarter = f32x4.splat(0.25)
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    const ratioRow = (r + 1) * ratioBytes + 16
    for (let c: usize = 0; c < last; c += 16) {
      const zr = v128.load(yRe + row + c)
      const zi = v128.load(yIm + row + c)
      const back = partner + last - c - 12
      const pr = reversed(v128.load(yRe + back))
      const pi = reversed(v128.load(yIm + back))
      const per = f32x4.mul(quarter, v128.load(spectra + row + c))
      const powerA = squares(f32x4.add(zr, pr), f32x4.sub(zi, pi))
      const powerB = squares(f32x4.add(zi, pi), f32x4.sub(pr, zr))
      v128.store(ratioA + ratioRow + c, f32x4.mul(per, powerA))
      v128.store(ratioB + ratioRow + c, f32x4.mul(per, powerB))
    }
  }
  wrapRatios(ratioA, n, ratioBytes)
  wrapRatios(ratioB, n, ratioBytes)
  const half = f32x4.splat(0.5)
  const zero = f32x4.splat(0)
  const one = f32x4.splat(1)
  const tiny = f32x4.splat(1e-12)
  const vOver = f32x4.splat(over)
  const share = spectra + 2 * plane
  let passedA = f32x4.splat(0)
  let passedB = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    const ratioRow = (r + 1) * ratioBytes + 16
    for (let c: usize = 0; c < last; c += 16) {
      const sa = f32x4.add(smoothed(ratioA + ratioRow + c, ratioBytes), tiny)
      const sb = f32x4.add(smoothed(ratioB + ratioRow + c, ratioBytes), tiny)
      const ga = f32x4.max(f32x4.sub(one, f32x4.div(vOver, sa)), zero)
      const gb = f32x4.max(f32x4.sub(one, f32x4.div(vOver, sb)), zero)
      const part = v128.load(share + row + c)
      passedA = f32x4.add(passedA, f32x4.mul(part, f32x4.mul(ga, ga)))
      passedB = f32x4.add(passedB, f32x4.mul(part, f32x4.mul(gb, gb)))
      // ga A + i gb B of Z = A + i B is (ga + gb) / 2 Z + (ga - gb) / 2 conj Z(-k).
      const both = f32x4.mul(half, f32x4.add(ga, gb))
      const apart = f32x4.mul(half, f32x4.sub(ga, gb))
      const back = partner + last - c - 12
      const pr = reversed(v128.load(yRe + back))
      const pi = reversed(v128.load(yIm + back))
      v128.store(cRe + row + c, f32x4.add(f32x4.mul(both, v128.load(yRe + row + c)), f32x4.mul(apart, pr)))
      v128.store(cIm + row + c, f32x4.sub(f32x4.mul(both, v128.load(yIm + row + c)), f32x4.mul(apart, pi)))
    }
  }
  fft2d(cIm, cRe, tmp, tmp + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(
    cRe, mixOfA, rowBytes, weights, meanA, scale, trustOf(passedA), out + a, outWeight + a, fromBytes, n,
  )
  addWindow(
    cIm, mixOfB, rowBytes, weights, meanB, scale, trustOf(passedB), out + b, outWeight + b, fromBytes, n,
  )
}

let trust: f32 = 0

/** One window of the second stage: its filtered spectrum, times i where `second`, into the packed one. Returns the mean. */
function gainFromPilot(
  y: usize, rg: usize, bg: usize, pilot: usize, at: usize, fromBytes: usize, weights: usize, spectra: usize, over: f32,
  mixes: usize, mix: usize, work: usize, packed: usize, second: bool, n: usize,
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
  const vOver = f32x4.splat(over)
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
  trust = trustOf(passed)
  return mean
}

/** The second stage for two windows: gain = pilot's power / (pilot's power + over * relief's power). */
export function finalPair(
  y: usize, rg: usize, bg: usize, pilot: usize, a: usize, b: usize, fromBytes: usize,
  out: usize, outWeight: usize, outA: usize, outB: usize, toBytes: usize,
  weights: usize, spectra: usize, over: f32, mixes: usize, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const packed = work + 4 * plane
  const mixOfA = packed + 2 * plane
  const mixOfB = mixOfA + plane
  const meanA = gainFromPilot(
    y, rg, bg, pilot, a, fromBytes, weights, spectra, over, mixes, mixOfA, work, packed, false, n,
  )
  const trustA = trust
  const meanB = gainFromPilot(
    y, rg, bg, pilot, b, fromBytes, weights, spectra, over, mixes + 8, mixOfB, work, packed, true, n,
  )
  const trustB = trust
  fft2d(packed + plane, packed, work, work + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(packed, mixOfA, rowBytes, weights, meanA, scale, trustA, out + outA, outWeight + outA, toBytes, n)
  addWindow(
    packed + plane, mixOfB, rowBytes, weights, meanB, scale, trustB, out + outB, outWeight + outB, toBytes, n,
  )
}

/** sums = sums / weights where anything was added; count is a multiple of 4. */
export function divideByWeights(sums: usize, weights: usize, count: i32): void {
  const least = f32x4.splat(1e-20)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(sums + i, f32x4.div(v128.load(sums + i), f32x4.max(v128.load(weights + i), least)))
  }
}
