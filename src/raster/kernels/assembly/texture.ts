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

/** out = log2(max(r wr + g wg + b wb, 0) + offset); count is a multiple of 4. */
export function logLuminance(
  r: usize, g: usize, b: usize, out: usize, count: i32, wr: f32, wg: f32, wb: f32, offset: f32,
): void {
  const vr = f32x4.splat(wr)
  const vg = f32x4.splat(wg)
  const vb = f32x4.splat(wb)
  const vo = f32x4.splat(offset)
  const zero = f32x4.splat(0)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const y = f32x4.add(
      f32x4.add(f32x4.mul(v128.load(r + i), vr), f32x4.mul(v128.load(g + i), vg)),
      f32x4.mul(v128.load(b + i), vb),
    )
    v128.store(out + i, log2x4(f32x4.add(f32x4.max(y, zero), vo)))
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

/** Adds window * (scale * part + window * mean) to the plane. */
function addWindow(
  part: usize, rowBytes: usize, weights: usize, mean: f32, scale: f32, to: usize, toBytes: usize, n: usize,
): void {
  const end = n << 2
  const vm = f32x4.splat(mean)
  const vs = f32x4.splat(scale)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = part + r * rowBytes
    const target = to + r * toBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      const value = f32x4.mul(w, f32x4.add(f32x4.mul(vs, v128.load(row + c)), f32x4.mul(w, vm)))
      v128.store(target + c, f32x4.add(v128.load(target + c), value))
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

/**
 * The pilot: two windows packed as real and imaginary part, each spectrum attenuated by what is left of its power after
 * the relief's share is taken off.
 * @param a, b the two windows' top left corners in the plane
 * @param relief the relief's power, n rows of n + 4 floats (column n repeats column 0)
 */
export function pilotPair(
  a: usize, b: usize, fromBytes: usize, outA: usize, outB: usize, toBytes: usize,
  weights: usize, relief: usize, over: f32, least: f32, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const re = work
  const im = re + plane
  const tmpRe = im + plane
  const tmpIm = tmpRe + plane
  const meanA = loadWindow(a, fromBytes, weights, re, n, rowBytes)
  const meanB = loadWindow(b, fromBytes, weights, im, n, rowBytes)
  fft2d(re, im, tmpRe, tmpIm, n, rowBytes)
  wrapColumn(re, n, rowBytes)
  wrapColumn(im, n, rowBytes)
  const half = f32x4.splat(0.5)
  const tiny = f32x4.splat(1e-20)
  const vOver = f32x4.splat(over)
  const vLeast = f32x4.splat(least)
  const last = n << 2
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    for (let c: usize = 0; c < last; c += 16) {
      const zr = v128.load(re + row + c)
      const zi = v128.load(im + row + c)
      const back = partner + last - c - 12
      const pr = reversed(v128.load(re + back))
      const pi = reversed(v128.load(im + back))
      const ar = f32x4.mul(half, f32x4.add(zr, pr))
      const ai = f32x4.mul(half, f32x4.sub(zi, pi))
      const br = f32x4.mul(half, f32x4.add(zi, pi))
      const bi = f32x4.mul(half, f32x4.sub(pr, zr))
      const s = f32x4.mul(vOver, v128.load(relief + row + c))
      const powerA = f32x4.add(f32x4.add(f32x4.mul(ar, ar), f32x4.mul(ai, ai)), tiny)
      const powerB = f32x4.add(f32x4.add(f32x4.mul(br, br), f32x4.mul(bi, bi)), tiny)
      const ga = f32x4.max(f32x4.div(f32x4.sub(powerA, s), powerA), vLeast)
      const gb = f32x4.max(f32x4.div(f32x4.sub(powerB, s), powerB), vLeast)
      v128.store(tmpRe + row + c, f32x4.sub(f32x4.mul(ga, ar), f32x4.mul(gb, bi)))
      v128.store(tmpIm + row + c, f32x4.add(f32x4.mul(ga, ai), f32x4.mul(gb, br)))
    }
  }
  fft2d(tmpIm, tmpRe, im, re, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(tmpRe, rowBytes, weights, meanA, scale, outA, toBytes, n)
  addWindow(tmpIm, rowBytes, weights, meanB, scale, outB, toBytes, n)
}

/** One window of the second stage: its filtered spectrum, times i where `second`, added into the packed one. */
function gainFromPilot(
  noisy: usize, noisyBytes: usize, pilot: usize, pilotBytes: usize, weights: usize, relief: usize, over: f32,
  work: usize, packed: usize, second: bool, n: usize,
): f32 {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const re = work
  const im = re + plane
  const mean = loadWindow(noisy, noisyBytes, weights, re, n, rowBytes)
  loadWindow(pilot, pilotBytes, weights, im, n, rowBytes)
  fft2d(re, im, im + plane, im + 2 * plane, n, rowBytes)
  wrapColumn(re, n, rowBytes)
  wrapColumn(im, n, rowBytes)
  const half = f32x4.splat(0.5)
  const tiny = f32x4.splat(1e-20)
  const vOver = f32x4.splat(over)
  const last = n << 2
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
      const power = f32x4.add(f32x4.add(f32x4.mul(qr, qr), f32x4.mul(qi, qi)), tiny)
      const gain = f32x4.div(power, f32x4.add(power, f32x4.mul(vOver, v128.load(relief + row + c))))
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
  return mean
}

/** The second stage for two windows: gain = pilot's power / (pilot's power + relief's power). */
export function finalPair(
  a: usize, b: usize, noisyBytes: usize, pilotA: usize, pilotB: usize, pilotBytes: usize,
  outA: usize, outB: usize, toBytes: usize, weights: usize, relief: usize, over: f32, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const packed = work + 4 * plane
  const meanA = gainFromPilot(a, noisyBytes, pilotA, pilotBytes, weights, relief, over, work, packed, false, n)
  const meanB = gainFromPilot(b, noisyBytes, pilotB, pilotBytes, weights, relief, over, work, packed, true, n)
  fft2d(packed + plane, packed, work, work + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(packed, rowBytes, weights, meanA, scale, outA, toBytes, n)
  addWindow(packed + plane, rowBytes, weights, meanB, scale, outB, toBytes, n)
}
