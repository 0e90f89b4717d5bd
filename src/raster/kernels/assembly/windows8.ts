// Windows of 8 x 8 pixels of a turned pair: their cosine transform, and what of it is picture. A window's coefficients lie
// transposed: both passes run down the columns, with one transposition between them.

const WINDOW: usize = 256
/** One window each: the mean's three channels and half differences' three. */
const PLANES: usize = memory.data(6 * 256, 16)
const PASS: usize = memory.data(256, 16)
const COLUMNS: usize = memory.data(256, 16)
/** The square root of each coefficient’s noise in the mixture. */
const ROOT: usize = memory.data(256, 16)
/** Symmetric matrix and its eigenvectors, three to a row. */
const MATRIX: usize = memory.data(9 * 8, 8)
const VECTORS: usize = memory.data(9 * 8, 8)

const EVEN: f32 = 0.35355339059327373
const C1: f32 = 0.46193976625564337
const C3: f32 = 0.19134171618254492
const O1: f32 = 0.49039264020161522
const O3: f32 = 0.41573480615127262
const O5: f32 = 0.27778511650980114
const O7: f32 = 0.09754516100806417

// @ts-ignore: decorator
@inline
function times(v: v128, by: f32): v128 {
  return f32x4.mul(v, f32x4.splat(by))
}

// @ts-ignore: decorator
@inline
function sum4(a: v128, b: v128, c: v128, d: v128): v128 {
  return f32x4.add(f32x4.add(a, b), f32x4.add(c, d))
}

/** The orthonormal cosine transform of 8 points down four columns. */
// @ts-ignore: decorator
@inline
function forwardColumns(from: usize, stride: usize, to: usize, toStride: usize): void {
  const x0 = v128.load(from)
  const x1 = v128.load(from + stride)
  const x2 = v128.load(from + 2 * stride)
  const x3 = v128.load(from + 3 * stride)
  const x4 = v128.load(from + 4 * stride)
  const x5 = v128.load(from + 5 * stride)
  const x6 = v128.load(from + 6 * stride)
  const x7 = v128.load(from + 7 * stride)
  const s0 = f32x4.add(x0, x7)
  const s1 = f32x4.add(x1, x6)
  const s2 = f32x4.add(x2, x5)
  const s3 = f32x4.add(x3, x4)
  const d0 = f32x4.sub(x0, x7)
  const d1 = f32x4.sub(x1, x6)
  const d2 = f32x4.sub(x2, x5)
  const d3 = f32x4.sub(x3, x4)
  const e0 = f32x4.add(s0, s3)
  const e1 = f32x4.add(s1, s2)
  const e2 = f32x4.sub(s0, s3)
  const e3 = f32x4.sub(s1, s2)
  v128.store(to, times(f32x4.add(e0, e1), EVEN))
  v128.store(to + toStride, sum4(times(d0, O1), times(d1, O3), times(d2, O5), times(d3, O7)))
  v128.store(to + 2 * toStride, f32x4.add(times(e2, C1), times(e3, C3)))
  v128.store(to + 3 * toStride, sum4(times(d0, O3), times(d1, -O7), times(d2, -O1), times(d3, -O5)))
  v128.store(to + 4 * toStride, times(f32x4.sub(e0, e1), EVEN))
  v128.store(to + 5 * toStride, sum4(times(d0, O5), times(d1, -O1), times(d2, O7), times(d3, O3)))
  v128.store(to + 6 * toStride, f32x4.sub(times(e2, C3), times(e3, C1)))
  v128.store(to + 7 * toStride, sum4(times(d0, O7), times(d1, -O5), times(d2, O3), times(d3, -O1)))
}

/** Its inverse; rows of the result lie 32 bytes apart. */
// @ts-ignore: decorator
@inline
function inverseColumns(from: usize, stride: usize, to: usize): void {
  const x0 = v128.load(from)
  const x1 = v128.load(from + stride)
  const x2 = v128.load(from + 2 * stride)
  const x3 = v128.load(from + 3 * stride)
  const x4 = v128.load(from + 4 * stride)
  const x5 = v128.load(from + 5 * stride)
  const x6 = v128.load(from + 6 * stride)
  const x7 = v128.load(from + 7 * stride)
  const e0 = times(f32x4.add(x0, x4), EVEN)
  const e1 = times(f32x4.sub(x0, x4), EVEN)
  const e2 = f32x4.add(times(x2, C1), times(x6, C3))
  const e3 = f32x4.sub(times(x2, C3), times(x6, C1))
  const s0 = f32x4.add(e0, e2)
  const s1 = f32x4.add(e1, e3)
  const s2 = f32x4.sub(e1, e3)
  const s3 = f32x4.sub(e0, e2)
  const d0 = sum4(times(x1, O1), times(x3, O3), times(x5, O5), times(x7, O7))
  const d1 = sum4(times(x1, O3), times(x3, -O7), times(x5, -O1), times(x7, -O5))
  const d2 = sum4(times(x1, O5), times(x3, -O1), times(x5, O7), times(x7, O3))
  const d3 = sum4(times(x1, O7), times(x3, -O5), times(x5, O3), times(x7, -O1))
  v128.store(to, f32x4.add(s0, d0))
  v128.store(to, f32x4.add(s1, d1), 32)
  v128.store(to, f32x4.add(s2, d2), 64)
  v128.store(to, f32x4.add(s3, d3), 96)
  v128.store(to, f32x4.sub(s3, d3), 128)
  v128.store(to, f32x4.sub(s2, d2), 160)
  v128.store(to, f32x4.sub(s1, d1), 192)
  v128.store(to, f32x4.sub(s0, d0), 224)
}

// @ts-ignore: decorator
@inline
function turnedBlock(from: usize, stride: usize, to: usize): void {
  const a = v128.load(from)
  const b = v128.load(from + stride)
  const c = v128.load(from + 2 * stride)
  const d = v128.load(from + 3 * stride)
  const ab0 = v128.shuffle<f32>(a, b, 0, 4, 1, 5)
  const ab1 = v128.shuffle<f32>(a, b, 2, 6, 3, 7)
  const cd0 = v128.shuffle<f32>(c, d, 0, 4, 1, 5)
  const cd1 = v128.shuffle<f32>(c, d, 2, 6, 3, 7)
  v128.store(to, v128.shuffle<f32>(ab0, cd0, 0, 1, 4, 5))
  v128.store(to, v128.shuffle<f32>(ab0, cd0, 2, 3, 6, 7), 32)
  v128.store(to, v128.shuffle<f32>(ab1, cd1, 0, 1, 4, 5), 64)
  v128.store(to, v128.shuffle<f32>(ab1, cd1, 2, 3, 6, 7), 96)
}

function transposed(from: usize, stride: usize, to: usize): void {
  turnedBlock(from, stride, to)
  turnedBlock(from + 16, stride, to + 128)
  turnedBlock(from + 4 * stride, stride, to + 16)
  turnedBlock(from + 4 * stride + 16, stride, to + 144)
}

/** The second pass of a window whose columns are transformed. */
function alongRows(from: usize, stride: usize, to: usize): void {
  transposed(from, stride, PASS)
  forwardColumns(PASS, 32, to, 32)
  forwardColumns(PASS + 16, 32, to + 16, 32)
}

/** Cosine transforms of windows at each `step` pixels of a row of windows, one after the other. */
export function cosineWindows(plane: usize, strideBytes: usize, count: i32, step: i32, out: usize): void {
  for (let k = 0; k < count; k++) {
    forwardColumns(plane, strideBytes, COLUMNS, 32)
    forwardColumns(plane + 16, strideBytes, COLUMNS + 16, 32)
    alongRows(COLUMNS, 32, out)
    plane += <usize>step << 2
    out += WINDOW
  }
}

/**
 * Square roots of a pair's mean and of half its difference, with what slopes cost both given back.
 * @param a, b three planes one after the other
 * @param across slopes across the lamp, 0 where they are not concluded
 * @param mean, half results, three planes each
 */
export function pairRoots(
  a: usize, b: usize, count: i32, across: usize, curvature: f32, leastEven: f32, leastLight: f32,
  wr: f32, wg: f32, wb: f32, mean: usize, half: usize,
): void {
  const bytes = <usize>count << 2
  const zero = f32x4.splat(0)
  const one = f32x4.splat(1)
  const low = f32x4.splat(leastLight)
  for (let i: usize = 0; i < bytes; i += 16) {
    const a0 = v128.load(a + i)
    const a1 = v128.load(a + bytes + i)
    const a2 = v128.load(a + 2 * bytes + i)
    const b0 = v128.load(b + i)
    const b1 = v128.load(b + bytes + i)
    const b2 = v128.load(b + 2 * bytes + i)
    const la = f32x4.max(low, f32x4.add(f32x4.add(times(a0, wr), times(a1, wg)), times(a2, wb)))
    const lb = f32x4.max(low, f32x4.add(f32x4.add(times(b0, wr), times(b1, wg)), times(b2, wb)))
    const s = f32x4.div(f32x4.sub(la, lb), f32x4.add(la, lb))
    let square = f32x4.mul(s, s)
    if (across) {
      const t = v128.load(across + i)
      square = f32x4.add(square, f32x4.mul(t, t))
    }
    const even = f32x4.max(f32x4.splat(leastEven), f32x4.sub(one, times(square, curvature)))
    const share = f32x4.div(one, even)
    put(a0, b0, share, zero, mean + i, half + i)
    put(a1, b1, share, zero, mean + bytes + i, half + bytes + i)
    put(a2, b2, share, zero, mean + 2 * bytes + i, half + 2 * bytes + i)
  }
}

// @ts-ignore: decorator
@inline
function put(a: v128, b: v128, share: v128, zero: v128, mean: usize, half: usize): void {
  const x = f32x4.max(zero, f32x4.mul(a, share))
  const y = f32x4.max(zero, f32x4.mul(b, share))
  v128.store(mean, f32x4.sqrt(times(f32x4.add(x, y), 0.5)))
  v128.store(half, times(f32x4.sub(f32x4.sqrt(x), f32x4.sqrt(y)), 0.5))
}

/** Eigenvectors of MATRIX into the columns of VECTORS, by Jacobi's rotations in a fixed order. */
function eigenvectors(): void {
  for (let i = 0; i < 9; i++) store<f64>(VECTORS + (<usize>i << 3), i % 4 == 0 ? 1 : 0)
  for (let sweep = 0; sweep < 5; sweep++) {
    rotate(0, 1, 2)
    rotate(0, 2, 1)
    rotate(1, 2, 0)
  }
}

// @ts-ignore: decorator
@inline
function cell(i: i32, j: i32): usize {
  return <usize>(3 * i + j) << 3
}

function rotate(p: i32, q: i32, r: i32): void {
  const off = load<f64>(MATRIX + cell(p, q))
  if (off == 0) return
  const pp = load<f64>(MATRIX + cell(p, p))
  const qq = load<f64>(MATRIX + cell(q, q))
  const theta = (qq - pp) / (2 * off)
  const t = (theta >= 0 ? 1.0 : -1.0) / (Math.abs(theta) + Math.sqrt(theta * theta + 1))
  const c = 1 / Math.sqrt(t * t + 1)
  const s = t * c
  store<f64>(MATRIX + cell(p, p), pp - t * off)
  store<f64>(MATRIX + cell(q, q), qq + t * off)
  store<f64>(MATRIX + cell(p, q), 0)
  store<f64>(MATRIX + cell(q, p), 0)
  const rp = load<f64>(MATRIX + cell(r, p))
  const rq = load<f64>(MATRIX + cell(r, q))
  store<f64>(MATRIX + cell(r, p), c * rp - s * rq)
  store<f64>(MATRIX + cell(p, r), c * rp - s * rq)
  store<f64>(MATRIX + cell(r, q), s * rp + c * rq)
  store<f64>(MATRIX + cell(q, r), s * rp + c * rq)
  for (let i = 0; i < 3; i++) {
    const vp = load<f64>(VECTORS + cell(i, p))
    const vq = load<f64>(VECTORS + cell(i, q))
    store<f64>(VECTORS + cell(i, p), c * vp - s * vq)
    store<f64>(VECTORS + cell(i, q), s * vp + c * vq)
  }
}

// @ts-ignore: decorator
@inline
function horizontal(v: v128): f32 {
  return f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
}

/**
 * Adds what is picture in windows of a pair to sums: see steps/stitch/combine/pictureOf.ts. Windows of one row share the
 * transform of their columns, both ways.
 * @param mean, half three planes each of square roots, `stride` pixels a row, `planePx` pixels a plane
 * @param firstX, firstY the first window's corner, in pixels of the planes; windows lie `step` apart
 * @param spectra noise of the mean, slopes, what the sharper shows more, and the same with its sign: 64 numbers each
 * @param weights a window's 8 weights, down and across alike
 * @param work 6 + 3 strips of 8 rows and one row of weights, each row as long as the planes' and a multiple of 16 bytes
 * @param sums three planes and their weights
 */
export function pictureWindows(
  mean: usize, half: usize, stride: i32, planePx: i32, firstX: i32, firstY: i32, across: i32, down: i32, step: i32,
  spectra: usize, weights: usize, readout: f32, photon: f32, darkest: f32, luminanceShare: f32, threshold: f32,
  wr: f32, wg: f32, wb: f32, work: usize, sums: usize,
): void {
  const strideBytes = <usize>stride << 2
  const planeBytes = <usize>planePx << 2
  const from = <usize>firstX << 2
  const rowBytes = ((<usize>stride + 3) >> 2) << 4
  const strip = rowBytes << 3
  const added = work + 6 * strip
  const weighed = work + 9 * strip
  // Whole fours of columns from the first window's on; what is right of the last window is not used.
  const bytes = ((<usize>((across - 1) * step + 8) + 3) >> 2) << 4
  const w0 = v128.load(weights)
  const w1 = v128.load(weights, 16)
  for (let j = 0; j < down; j++) {
    const row = <usize>((firstY + j * step) * stride) << 2
    for (let c: usize = 0; c < 6; c++) {
      const plane = (c < 3 ? mean + c * planeBytes : half + (c - 3) * planeBytes) + row + from
      for (let x: usize = 0; x < bytes; x += 16) forwardColumns(plane + x, strideBytes, work + c * strip + x, rowBytes)
    }
    memory.fill(added, 0, 3 * strip + rowBytes)
    for (let i = 0; i < across; i++) {
      const at = <usize>(i * step) << 2
      for (let c: usize = 0; c < 6; c++) alongRows(work + c * strip + at, rowBytes, PLANES + c * WINDOW)
      const weight = keepPicture(spectra, readout, photon, darkest, luminanceShare, threshold, wr, wg, wb)
      const a0 = times(w0, weight)
      const a1 = times(w1, weight)
      for (let c: usize = 0; c < 3; c++) addColumns(PLANES + c * WINDOW, a0, a1, added + c * strip + at, rowBytes)
      v128.store(weighed + at, f32x4.add(v128.load(weighed + at), a0))
      v128.store(weighed + at, f32x4.add(v128.load(weighed + at, 16), a1), 16)
    }
    for (let c: usize = 0; c < 3; c++) {
      const to = sums + c * planeBytes + row + from
      for (let x: usize = 0; x < bytes; x += 16) {
        inverseColumns(added + c * strip + x, rowBytes, PASS)
        for (let y: usize = 0; y < 8; y++) {
          addTo(to + y * strideBytes + x, times(v128.load(PASS + (y << 5)), load<f32>(weights + (y << 2))))
        }
      }
    }
    const to = sums + 3 * planeBytes + row + from
    for (let x: usize = 0; x < bytes; x += 16) {
      const all = v128.load(weighed + x)
      for (let y: usize = 0; y < 8; y++) addTo(to + y * strideBytes + x, times(all, load<f32>(weights + (y << 2))))
    }
  }
}

// @ts-ignore: decorator
@inline
function addTo(at: usize, more: v128): void {
  v128.store(at, f32x4.add(v128.load(at), more))
}

/** Adds a window, its rows' transform undone and weighed, to a strip whose columns' is not. */
function addColumns(window: usize, w0: v128, w1: v128, to: usize, rowBytes: usize): void {
  inverseColumns(window, 32, PASS)
  inverseColumns(window + 16, 32, PASS + 16)
  transposed(PASS, 32, window)
  for (let v: usize = 0; v < 8; v++) {
    addTo(to, f32x4.mul(w0, v128.load(window + (v << 5))))
    addTo(to + 16, f32x4.mul(w1, v128.load(window + (v << 5), 16)))
    to += rowBytes
  }
}

/** One window of PLANES: its first three planes become what is picture. Returns its weight. */
function keepPicture(
  spectra: usize, readout: f32, photon: f32, darkest: f32, luminanceShare: f32, threshold: f32,
  wr: f32, wg: f32, wb: f32,
): f32 {
  const F0 = PLANES
  const F1 = PLANES + WINDOW
  const F2 = PLANES + 2 * WINDOW
  const G0 = PLANES + 3 * WINDOW
  const G1 = PLANES + 4 * WINDOW
  const G2 = PLANES + 5 * WINDOW
  const dc0 = load<f32>(F0)
  const dc1 = load<f32>(F1)
  const dc2 = load<f32>(F2)
  // A level's root is an eighth of the first coefficient.
  const v0 = readout / max(darkest, dc0 * dc0 * 0.015625) + photon
  const v1 = readout / max(darkest, dc1 * dc1 * 0.015625) + photon
  const v2 = readout / max(darkest, dc2 * dc2 * 0.015625) + photon
  const level = max(darkest, (wr * dc0 * dc0 + wg * dc1 * dc1 + wb * dc2 * dc2) * 0.015625)
  let l0 = wr * dc0
  let l1 = wg * dc1
  let l2 = wb * dc2
  const all = max(<f32>1e-6, l0 + l1 + l2)
  l0 /= all
  l1 /= all
  l2 /= all
  const lumNoise = l0 * l0 * v0 + l1 * l1 * v1 + l2 * l2 * v2
  const sd0: f32 = sqrt(v0)
  const sd1: f32 = sqrt(v1)
  const sd2: f32 = sqrt(v2)
  const u0 = l0 * sd0
  const u1 = l1 * sd1
  const u2 = l2 * sd2
  const length: f32 = <f32>1 / max(<f32>1e-12, u0 * u0 + u1 * u1 + u2 * u2)

  const noiseAt = spectra
  const slopesAt = spectra + WINDOW
  const moreAt = spectra + 2 * WINDOW
  const signedAt = spectra + 3 * WINDOW
  const one = f32x4.splat(1)
  const zero = f32x4.splat(0)
  const tiny = f32x4.splat(1e-20)
  let rr = zero
  let rg = zero
  let rb = zero
  let gg = zero
  let gb = zero
  let bb = zero
  for (let i: usize = 0; i < WINDOW; i += 16) {
    const noise = v128.load(noiseAt + i)
    const more = v128.load(moreAt + i)
    let f0 = v128.load(F0 + i)
    let f1 = v128.load(F1 + i)
    let f2 = v128.load(F2 + i)
    let inMixture = noise
    if (v128.any_true(f32x4.gt(more, zero))) {
      // As far as the picture stands above slopes and noise, its finest detail is the sharper capture's.
      const l = f32x4.add(f32x4.add(times(f0, l0), times(f1, l1)), times(f2, l2))
      const quiet = times(noise, lumNoise)
      const power = f32x4.max(zero, f32x4.sub(f32x4.mul(l, l), quiet))
      const below = f32x4.add(quiet, times(v128.load(slopesAt + i), level))
      const k = f32x4.div(
        f32x4.mul(power, v128.load(signedAt + i)),
        f32x4.add(tiny, f32x4.add(f32x4.mul(power, more), below)),
      )
      f0 = f32x4.add(f0, f32x4.mul(k, v128.load(G0 + i)))
      f1 = f32x4.add(f1, f32x4.mul(k, v128.load(G1 + i)))
      f2 = f32x4.add(f2, f32x4.mul(k, v128.load(G2 + i)))
      inMixture = f32x4.mul(noise, f32x4.add(one, f32x4.mul(k, k)))
    }
    const root = f32x4.sqrt(f32x4.max(tiny, inMixture))
    v128.store(ROOT + i, root)
    let inverse = f32x4.div(one, root)
    if (i == 0) inverse = f32x4.replace_lane(inverse, 0, 0)
    const a0 = times(f32x4.mul(f0, inverse), <f32>1 / sd0)
    const a1 = times(f32x4.mul(f1, inverse), <f32>1 / sd1)
    const a2 = times(f32x4.mul(f2, inverse), <f32>1 / sd2)
    v128.store(F0 + i, a0)
    v128.store(F1 + i, a1)
    v128.store(F2 + i, a2)
    rr = f32x4.add(rr, f32x4.mul(a0, a0))
    rg = f32x4.add(rg, f32x4.mul(a0, a1))
    rb = f32x4.add(rb, f32x4.mul(a0, a2))
    gg = f32x4.add(gg, f32x4.mul(a1, a1))
    gb = f32x4.add(gb, f32x4.mul(a1, a2))
    bb = f32x4.add(bb, f32x4.mul(a2, a2))
  }
  store<f64>(MATRIX + cell(0, 0), <f64>horizontal(rr))
  store<f64>(MATRIX + cell(1, 1), <f64>horizontal(gg))
  store<f64>(MATRIX + cell(2, 2), <f64>horizontal(bb))
  const prg = <f64>horizontal(rg)
  const prb = <f64>horizontal(rb)
  const pgb = <f64>horizontal(gb)
  store<f64>(MATRIX + cell(0, 1), prg)
  store<f64>(MATRIX + cell(1, 0), prg)
  store<f64>(MATRIX + cell(0, 2), prb)
  store<f64>(MATRIX + cell(2, 0), prb)
  store<f64>(MATRIX + cell(1, 2), pgb)
  store<f64>(MATRIX + cell(2, 1), pgb)
  eigenvectors()
  const e00 = <f32>load<f64>(VECTORS + cell(0, 0))
  const e10 = <f32>load<f64>(VECTORS + cell(1, 0))
  const e20 = <f32>load<f64>(VECTORS + cell(2, 0))
  const e01 = <f32>load<f64>(VECTORS + cell(0, 1))
  const e11 = <f32>load<f64>(VECTORS + cell(1, 1))
  const e21 = <f32>load<f64>(VECTORS + cell(2, 1))
  const e02 = <f32>load<f64>(VECTORS + cell(0, 2))
  const e12 = <f32>load<f64>(VECTORS + cell(1, 2))
  const e22 = <f32>load<f64>(VECTORS + cell(2, 2))
  // Of an axis' noise, what lies along luminance counts with its share.
  const least = threshold * threshold
  const p0 = u0 * e00 + u1 * e10 + u2 * e20
  const p1 = u0 * e01 + u1 * e11 + u2 * e21
  const p2 = u0 * e02 + u1 * e12 + u2 * e22
  const rest = (<f32>1 - luminanceShare) * length
  const t0 = f32x4.splat(least * (<f32>1 - rest * p0 * p0))
  const t1 = f32x4.splat(least * (<f32>1 - rest * p1 * p1))
  const t2 = f32x4.splat(least * (<f32>1 - rest * p2 * p2))
  let kept = zero
  for (let i: usize = 0; i < WINDOW; i += 16) {
    const a0 = v128.load(F0 + i)
    const a1 = v128.load(F1 + i)
    const a2 = v128.load(F2 + i)
    let y0 = f32x4.add(f32x4.add(times(a0, e00), times(a1, e10)), times(a2, e20))
    let y1 = f32x4.add(f32x4.add(times(a0, e01), times(a1, e11)), times(a2, e21))
    let y2 = f32x4.add(f32x4.add(times(a0, e02), times(a1, e12)), times(a2, e22))
    const m0 = f32x4.gt(f32x4.mul(y0, y0), t0)
    const m1 = f32x4.gt(f32x4.mul(y1, y1), t1)
    const m2 = f32x4.gt(f32x4.mul(y2, y2), t2)
    y0 = v128.and(y0, m0)
    y1 = v128.and(y1, m1)
    y2 = v128.and(y2, m2)
    kept = f32x4.add(kept, sum3(v128.and(one, m0), v128.and(one, m1), v128.and(one, m2)))
    const root = v128.load(ROOT + i)
    v128.store(F0 + i, times(f32x4.mul(root, sum3(times(y0, e00), times(y1, e01), times(y2, e02))), sd0))
    v128.store(F1 + i, times(f32x4.mul(root, sum3(times(y0, e10), times(y1, e11), times(y2, e12))), sd1))
    v128.store(F2 + i, times(f32x4.mul(root, sum3(times(y0, e20), times(y1, e21), times(y2, e22))), sd2))
  }
  store<f32>(F0, dc0)
  store<f32>(F1, dc1)
  store<f32>(F2, dc2)
  // A window that needs fewer numbers shows its place better.
  return <f32>1 / (<f32>3 + horizontal(kept))
}

// @ts-ignore: decorator
@inline
function sum3(a: v128, b: v128, c: v128): v128 {
  return f32x4.add(f32x4.add(a, b), c)
}

/** Light from sums and weights: (sum / weight)^2, nothing below 0. */
export function lightOfSums(sums: usize, count: i32, out: usize): void {
  const bytes = <usize>count << 2
  const zero = f32x4.splat(0)
  const tiny = f32x4.splat(1e-20)
  for (let i: usize = 0; i < bytes; i += 16) {
    const by = f32x4.div(f32x4.splat(1), f32x4.max(tiny, v128.load(sums + 3 * bytes + i)))
    for (let c: usize = 0; c < 3; c++) {
      const root = f32x4.max(zero, f32x4.mul(v128.load(sums + c * bytes + i), by))
      v128.store(out + c * bytes + i, f32x4.mul(root, root))
    }
  }
}
