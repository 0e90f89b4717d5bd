// The passes of separable filtering. All planes are float32; every output pixel is summed over its taps in one order,
// whatever region it is computed in, so that the same pixel has the same bits in every tile.

/** The four sums of four registers: (0+1)+(2+3) of each register, in that register's lane. */
// @ts-ignore: decorator
@inline
function sums(a: v128, b: v128, c: v128, d: v128): v128 {
  const ab02 = v128.shuffle<f32>(a, b, 0, 4, 2, 6)
  const ab13 = v128.shuffle<f32>(a, b, 1, 5, 3, 7)
  const cd02 = v128.shuffle<f32>(c, d, 0, 4, 2, 6)
  const cd13 = v128.shuffle<f32>(c, d, 1, 5, 3, 7)
  const ab = f32x4.add(ab02, ab13)
  const cd = f32x4.add(cd02, cd13)
  return f32x4.add(v128.shuffle<f32>(ab, cd, 0, 1, 4, 5), v128.shuffle<f32>(ab, cd, 2, 3, 6, 7))
}

/**
 * out[x] = sum over k of weights[x][k] * row[starts[x] + k], for each of `rows` rows.
 * `starts` are byte offsets (int32) into a row; `taps` and `width` are multiples of 4; rows lie `strideBytes` apart,
 * output rows `width` floats.
 */
export function filterRows(
  src: usize, strideBytes: i32, rows: i32, starts: usize, weights: usize, taps: i32, out: usize, width: i32,
): void {
  const bytes = <usize>taps << 2
  const twice = bytes + bytes
  const thrice = twice + bytes
  for (let r = 0; r < rows; r++) {
    const row = src + <usize>r * <usize>strideBytes
    let w = weights
    let s = starts
    for (let x = 0; x < width; x += 4) {
      let p = row + <usize>load<i32>(s)
      let q = row + <usize>load<i32>(s, 4)
      let t = row + <usize>load<i32>(s, 8)
      let u = row + <usize>load<i32>(s, 12)
      let a = f32x4.splat(0)
      let b = a
      let c = a
      let d = a
      for (const end = w + bytes; w < end; w += 16) {
        a = f32x4.add(a, f32x4.mul(v128.load(p), v128.load(w)))
        b = f32x4.add(b, f32x4.mul(v128.load(q), v128.load(w + bytes)))
        c = f32x4.add(c, f32x4.mul(v128.load(t), v128.load(w + twice)))
        d = f32x4.add(d, f32x4.mul(v128.load(u), v128.load(w + thrice)))
        p += 16
        q += 16
        t += 16
        u += 16
      }
      v128.store(out, sums(a, b, c, d))
      out += 16
      s += 16
      w += thrice
    }
  }
}

/**
 * out[x] += sum over k of weights[k] * src[k * stride + x]; `width` is a multiple of 4. With rows a stride apart it
 * filters columns, with a stride of one sample it filters along a row.
 */
export function addWeighted(src: usize, strideBytes: i32, weights: usize, count: i32, out: usize, width: i32): void {
  const end = <usize>width << 2
  let x: usize = 0
  // Eight columns at a time: two chains of additions run side by side.
  for (; x + 16 < end; x += 32) {
    let from = src + x
    let a = v128.load(out + x)
    let b = v128.load(out + x, 16)
    for (let k = 0; k < count; k++) {
      const w = v128.load_splat<f32>(weights + (<usize>k << 2))
      a = f32x4.add(a, f32x4.mul(v128.load(from), w))
      b = f32x4.add(b, f32x4.mul(v128.load(from, 16), w))
      from += strideBytes
    }
    v128.store(out + x, a)
    v128.store(out + x, b, 16)
  }
  for (; x < end; x += 16) {
    let from = src + x
    let a = v128.load(out + x)
    for (let k = 0; k < count; k++) {
      a = f32x4.add(a, f32x4.mul(v128.load(from), v128.load_splat<f32>(weights + (<usize>k << 2))))
      from += strideBytes
    }
    v128.store(out + x, a)
  }
}

/**
 * out[x] = sum over k of weights[k] * src[k * stride + x], or added to what `out` holds where not `fresh`: the terms are
 * added one after the other, so that a sum in pieces has the bits of one in one go. `width` is a multiple of 4.
 */
export function weighRows(
  src: usize, strideBytes: i32, weights: usize, count: i32, out: usize, width: i32, fresh: i32,
): void {
  const end = <usize>width << 2
  const wEnd = weights + (<usize>count << 2)
  const zero = f32x4.splat(0)
  let x: usize = 0
  // Sixteen columns at a time: four chains of additions run side by side, and a weight is fetched once for all.
  for (; x + 48 < end; x += 64) {
    let from = src + x
    let a = fresh ? zero : v128.load(out + x)
    let b = fresh ? zero : v128.load(out + x, 16)
    let c = fresh ? zero : v128.load(out + x, 32)
    let d = fresh ? zero : v128.load(out + x, 48)
    for (let at = weights; at < wEnd; at += 4) {
      const w = v128.load_splat<f32>(at)
      a = f32x4.add(a, f32x4.mul(v128.load(from), w))
      b = f32x4.add(b, f32x4.mul(v128.load(from, 16), w))
      c = f32x4.add(c, f32x4.mul(v128.load(from, 32), w))
      d = f32x4.add(d, f32x4.mul(v128.load(from, 48), w))
      from += strideBytes
    }
    v128.store(out + x, a)
    v128.store(out + x, b, 16)
    v128.store(out + x, c, 32)
    v128.store(out + x, d, 48)
  }
  for (; x < end; x += 16) {
    let from = src + x
    let a = fresh ? zero : v128.load(out + x)
    for (let at = weights; at < wEnd; at += 4) {
      a = f32x4.add(a, f32x4.mul(v128.load(from), v128.load_splat<f32>(at)))
      from += strideBytes
    }
    v128.store(out + x, a)
  }
}

/** low[x], high[x] = least and greatest over k of lowSrc, highSrc[k * stride + x]; `width` is a multiple of 4. */
export function extremes(
  lowSrc: usize, highSrc: usize, strideBytes: i32, count: i32, low: usize, high: usize, width: i32,
): void {
  const end = <usize>width << 2
  for (let x: usize = 0; x < end; x += 16) {
    let a = v128.load(lowSrc + x)
    let b = v128.load(highSrc + x)
    let offset = x + strideBytes
    for (let k = 1; k < count; k++) {
      a = f32x4.min(a, v128.load(lowSrc + offset))
      b = f32x4.max(b, v128.load(highSrc + offset))
      offset += strideBytes
    }
    v128.store(low + x, a)
    v128.store(high + x, b)
  }
}

/** out = sqrt(max(r wr + g wg + b wb, 0)); `count` is a multiple of 4. */
export function rootLuminance(
  r: usize, g: usize, b: usize, out: usize, count: i32, wr: f32, wg: f32, wb: f32,
): void {
  const vr = f32x4.splat(wr)
  const vg = f32x4.splat(wg)
  const vb = f32x4.splat(wb)
  const zero = f32x4.splat(0)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const y = f32x4.add(
      f32x4.add(f32x4.mul(v128.load(r + i), vr), f32x4.mul(v128.load(g + i), vg)),
      f32x4.mul(v128.load(b + i), vb),
    )
    v128.store(out + i, f32x4.sqrt(f32x4.max(y, zero)))
  }
}

/**
 * The gain of every pixel of one row that brings its luminance to the sharpened one, held between the local extremes;
 * all of them given as roots s of luminance (see outputs/sharpening/sharpened.ts for the formula); `count` is a
 * multiple of 4.
 */
export function sharpeningGain(
  root: usize, blurred: usize, low: usize, high: usize, gain: usize, count: i32,
  amount: f32, limit: f32, floor: f32, floorFoot: f32, gainFoot: f32,
): void {
  const va = f32x4.splat(amount)
  const vl = f32x4.splat(limit)
  const vn = f32x4.splat(floor)
  const vnf = f32x4.splat(floorFoot)
  const vgf = f32x4.splat(gainFoot)
  const zero = f32x4.splat(0)
  const tiny = f32x4.splat(1e-20)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const s = v128.load(root + i)
    const d = f32x4.sub(s, v128.load(blurred + i))
    const d2 = f32x4.mul(d, d)
    const n = f32x4.mul(vn, f32x4.add(s, vnf))
    const kept = f32x4.div(d2, f32x4.add(f32x4.add(d2, f32x4.mul(n, n)), tiny))
    const wished = f32x4.add(s, f32x4.mul(va, f32x4.mul(d, kept)))
    const least = v128.load(low + i)
    const most = v128.load(high + i)
    const bottom = f32x4.max(f32x4.sub(least, f32x4.mul(vl, f32x4.sub(most, least))), zero)
    const most2 = f32x4.mul(most, most)
    const top2 = f32x4.add(most2, f32x4.mul(vl, f32x4.sub(most2, f32x4.mul(least, least))))
    const lifted = f32x4.max(wished, bottom)
    const held2 = f32x4.min(f32x4.mul(lifted, lifted), top2)
    v128.store(gain + i, f32x4.div(f32x4.add(held2, vgf), f32x4.add(f32x4.mul(s, s), vgf)))
  }
}

/** plane *= gain; `count` is a multiple of 4. */
export function multiply(plane: usize, gain: usize, count: i32): void {
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(plane + i, f32x4.mul(v128.load(plane + i), v128.load(gain + i)))
  }
}
