// Two-dimensional complex FFT of n x n points, n = 16, 32, 64, 128, 256 or 512, four columns to a SIMD register.
// Stockham's self-sorting form with radix 4 (radix 2 in the last pass where n is not a power of four): every pass reads
// one place and writes another, so the order stays natural and no bit reversal is needed. Each pass over the columns
// writes its result transposed; two of them make the transform and restore the orientation.

/** Largest n. */
const MAX_N = 512
/** cos and -sin of 2 pi k / 512 for k = 0..511, interleaved. */
const TWIDDLES: usize = memory.data(MAX_N * 2 * 4, 16)
/** Two buffers of four columns: for each row four real parts, then four imaginary parts. */
const BUFFER_A: usize = memory.data(MAX_N * 32, 16)
const BUFFER_B: usize = memory.data(MAX_N * 32, 16)
let prepared = false

function prepare(): void {
  if (prepared) return
  for (let k = 0; k < MAX_N; k++) {
    const angle: f64 = (2.0 * Math.PI * <f64>k) / <f64>MAX_N
    store<f32>(TWIDDLES + (<usize>k << 3), <f32>Math.cos(angle))
    store<f32>(TWIDDLES + (<usize>k << 3), <f32>-Math.sin(angle), 4)
  }
  prepared = true
}

// @ts-ignore: decorator
@inline
function put(dst: usize, index: usize, re: v128, im: v128): void {
  v128.store(dst + (index << 5), re)
  v128.store(dst + (index << 5), im, 16)
}

// @ts-ignore: decorator
@inline
function putTurned(dst: usize, index: usize, re: v128, im: v128, wr: v128, wi: v128): void {
  put(
    dst,
    index,
    f32x4.sub(f32x4.mul(re, wr), f32x4.mul(im, wi)),
    f32x4.add(f32x4.mul(re, wi), f32x4.mul(im, wr)),
  )
}

/** One radix-4 pass: sub-transforms of length n, s of them interleaved. `step` = bytes between elements of the source. */
// @ts-ignore: decorator
@inline
function pass4(re: usize, im: usize, step: usize, dst: usize, n: usize, s: usize): void {
  const quarter = n >> 2
  const hop = s * quarter * step
  const turn: usize = (<usize>MAX_N / n) << 3
  for (let p: usize = 0; p < quarter; p++) {
    const w1 = TWIDDLES + p * turn
    const w2 = TWIDDLES + 2 * p * turn
    const w3 = TWIDDLES + 3 * p * turn
    const w1r = v128.load_splat<f32>(w1)
    const w1i = v128.load_splat<f32>(w1, 4)
    const w2r = v128.load_splat<f32>(w2)
    const w2i = v128.load_splat<f32>(w2, 4)
    const w3r = v128.load_splat<f32>(w3)
    const w3i = v128.load_splat<f32>(w3, 4)
    for (let q: usize = 0; q < s; q++) {
      const from = (q + s * p) * step
      const ar = v128.load(re + from)
      const ai = v128.load(im + from)
      const br = v128.load(re + from + hop)
      const bi = v128.load(im + from + hop)
      const cr = v128.load(re + from + 2 * hop)
      const ci = v128.load(im + from + 2 * hop)
      const dr = v128.load(re + from + 3 * hop)
      const di = v128.load(im + from + 3 * hop)
      const acr = f32x4.add(ar, cr)
      const aci = f32x4.add(ai, ci)
      const amr = f32x4.sub(ar, cr)
      const ami = f32x4.sub(ai, ci)
      const bdr = f32x4.add(br, dr)
      const bdi = f32x4.add(bi, di)
      // i times (b - d)
      const jr = f32x4.sub(di, bi)
      const ji = f32x4.sub(br, dr)
      const to = q + 4 * s * p
      put(dst, to, f32x4.add(acr, bdr), f32x4.add(aci, bdi))
      putTurned(dst, to + s, f32x4.sub(amr, jr), f32x4.sub(ami, ji), w1r, w1i)
      putTurned(dst, to + 2 * s, f32x4.sub(acr, bdr), f32x4.sub(aci, bdi), w2r, w2i)
      putTurned(dst, to + 3 * s, f32x4.add(amr, jr), f32x4.add(ami, ji), w3r, w3i)
    }
  }
}

/** The last radix-4 pass, whose turning factors are all one. */
// @ts-ignore: decorator
@inline
function lastPass4(src: usize, dst: usize, s: usize): void {
  const hop = s << 5
  for (let q: usize = 0; q < s; q++) {
    const from = src + (q << 5)
    const ar = v128.load(from)
    const ai = v128.load(from, 16)
    const br = v128.load(from + hop)
    const bi = v128.load(from + hop, 16)
    const cr = v128.load(from + 2 * hop)
    const ci = v128.load(from + 2 * hop, 16)
    const dr = v128.load(from + 3 * hop)
    const di = v128.load(from + 3 * hop, 16)
    const acr = f32x4.add(ar, cr)
    const aci = f32x4.add(ai, ci)
    const amr = f32x4.sub(ar, cr)
    const ami = f32x4.sub(ai, ci)
    const bdr = f32x4.add(br, dr)
    const bdi = f32x4.add(bi, di)
    const jr = f32x4.sub(di, bi)
    const ji = f32x4.sub(br, dr)
    put(dst, q, f32x4.add(acr, bdr), f32x4.add(aci, bdi))
    put(dst, q + s, f32x4.sub(amr, jr), f32x4.sub(ami, ji))
    put(dst, q + 2 * s, f32x4.sub(acr, bdr), f32x4.sub(aci, bdi))
    put(dst, q + 3 * s, f32x4.add(amr, jr), f32x4.add(ami, ji))
  }
}

/** The last pass where one factor 2 is left. */
// @ts-ignore: decorator
@inline
function lastPass2(src: usize, dst: usize, s: usize): void {
  const hop = s << 5
  for (let q: usize = 0; q < s; q++) {
    const from = src + (q << 5)
    const ar = v128.load(from)
    const ai = v128.load(from, 16)
    const br = v128.load(from + hop)
    const bi = v128.load(from + hop, 16)
    put(dst, q, f32x4.add(ar, br), f32x4.add(ai, bi))
    put(dst, q + s, f32x4.sub(ar, br), f32x4.sub(ai, bi))
  }
}

// @ts-ignore: decorator
@inline
function storeTransposed(part: usize, out: usize, rowBytes: usize): void {
  const a = v128.load(part)
  const b = v128.load(part, 32)
  const c = v128.load(part, 64)
  const d = v128.load(part, 96)
  const abLow = v128.shuffle<i32>(a, b, 0, 4, 1, 5)
  const abHigh = v128.shuffle<i32>(a, b, 2, 6, 3, 7)
  const cdLow = v128.shuffle<i32>(c, d, 0, 4, 1, 5)
  const cdHigh = v128.shuffle<i32>(c, d, 2, 6, 3, 7)
  v128.store(out, v128.shuffle<i64>(abLow, cdLow, 0, 2))
  v128.store(out + rowBytes, v128.shuffle<i64>(abLow, cdLow, 1, 3))
  v128.store(out + 2 * rowBytes, v128.shuffle<i64>(abHigh, cdHigh, 0, 2))
  v128.store(out + 3 * rowBytes, v128.shuffle<i64>(abHigh, cdHigh, 1, 3))
}

/** Transforms every column and writes the result transposed. */
function columns(re: usize, im: usize, outRe: usize, outIm: usize, n: usize, rowBytes: usize): void {
  for (let c: usize = 0; c < n; c += 4) {
    const at = c << 2
    let result = BUFFER_A
    pass4(re + at, im + at, rowBytes, BUFFER_A, n, 1)
    if (n == 64) {
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 16, 4)
      lastPass4(BUFFER_B, BUFFER_A, 16)
    } else if (n == 32) {
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 8, 4)
      lastPass2(BUFFER_B, BUFFER_A, 16)
    } else if (n == 16) {
      lastPass4(BUFFER_A, BUFFER_B, 4)
      result = BUFFER_B
    } else if (n == 256) {
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 64, 4)
      pass4(BUFFER_B, BUFFER_B + 16, 32, BUFFER_A, 16, 16)
      lastPass4(BUFFER_A, BUFFER_B, 64)
      result = BUFFER_B
    } else if (n == 512) {
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 128, 4)
      pass4(BUFFER_B, BUFFER_B + 16, 32, BUFFER_A, 32, 16)
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 8, 64)
      lastPass2(BUFFER_B, BUFFER_A, 256)
    } else {
      pass4(BUFFER_A, BUFFER_A + 16, 32, BUFFER_B, 32, 4)
      pass4(BUFFER_B, BUFFER_B + 16, 32, BUFFER_A, 8, 16)
      lastPass2(BUFFER_A, BUFFER_B, 64)
      result = BUFFER_B
    }
    for (let r: usize = 0; r < n; r += 4) {
      storeTransposed(result + (r << 5), outRe + c * rowBytes + (r << 2), rowBytes)
      storeTransposed(result + (r << 5) + 16, outIm + c * rowBytes + (r << 2), rowBytes)
    }
  }
}

/**
 * Forward transform in place, not scaled; exp(-2 pi i ...). The inverse (times n^2) is the same call with the real and
 * imaginary parts exchanged. Rows are `rowBytes` apart (a multiple of 16); the work planes have the same layout.
 */
export function fft2d(re: usize, im: usize, workRe: usize, workIm: usize, n: usize, rowBytes: usize): void {
  prepare()
  columns(re, im, workRe, workIm, n, rowBytes)
  columns(workRe, workIm, re, im, n, rowBytes)
}
