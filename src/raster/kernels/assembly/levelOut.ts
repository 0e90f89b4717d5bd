// A smooth field evened out, and a gain.

/**
 * Multiplies the pixels of a rectangle by 1 + l + l^2 / 2, with l a polynomial of second order of their place, and then by a
 * gain for each channel, rounding to float32 between the two. Four values behind each plane may be read and written back.
 * @param r planes of `width` times `height` float32; `g` and `b` likewise
 * @param x0, y0 place of the first pixel
 * @param field six float64: 1, x, y, x^2, x y, y^2; 0: no field
 */
export function levelPlanes(
  r: usize, g: usize, b: usize, x0: i32, y0: i32, width: i32, height: i32, field: usize,
  gainR: f32, gainG: f32, gainB: f32,
): void {
  const one = f64x2.splat(1)
  const half = f64x2.splat(0.5)
  const whole = f32x4.splat(1)
  let c0: f64 = 0
  let cx: f64 = 0
  let cy: f64 = 0
  let cxx: f64 = 0
  let cxy: f64 = 0
  let cyy: f64 = 0
  if (field) {
    c0 = load<f64>(field)
    cx = load<f64>(field, 8)
    cy = load<f64>(field, 16)
    cxx = load<f64>(field, 24)
    cxy = load<f64>(field, 32)
    cyy = load<f64>(field, 40)
  }
  const c = f64x2.splat(c0)
  const bend = f64x2.splat(cxx)
  for (let j = 0; j < height; j++) {
    const y = <f64>(y0 + j)
    const alongX = f64x2.splat(cx)
    const skew = f64x2.splat(cxy * y)
    const alongY = f64x2.splat(y * (cy + cyy * y))
    const row = <usize>(j * width) << 2
    for (let i = 0; i < width; i += 4) {
      const at = row + (<usize>i << 2)
      let red = v128.load(r + at)
      let green = v128.load(g + at)
      let blue = v128.load(b + at)
      // What lies behind the row is left as it is.
      const counts = i32x4.lt_s(i32x4.add(i32x4.splat(i), i32x4(0, 1, 2, 3)), i32x4.splat(width))
      if (field) {
        const x = <f64>(x0 + i)
        const left = factorAt(f64x2(x, x + 1), c, alongX, bend, skew, alongY, one, half)
        const right = factorAt(f64x2(x + 2, x + 3), c, alongX, bend, skew, alongY, one, half)
        red = v128.bitselect(times(red, left, right), red, counts)
        green = v128.bitselect(times(green, left, right), green, counts)
        blue = v128.bitselect(times(blue, left, right), blue, counts)
      }
      v128.store(r + at, f32x4.mul(red, v128.bitselect(f32x4.splat(gainR), whole, counts)))
      v128.store(g + at, f32x4.mul(green, v128.bitselect(f32x4.splat(gainG), whole, counts)))
      v128.store(b + at, f32x4.mul(blue, v128.bitselect(f32x4.splat(gainB), whole, counts)))
    }
  }
}

// @ts-ignore: decorator
@inline
function factorAt(
  x: v128, c: v128, alongX: v128, bend: v128, skew: v128, alongY: v128, one: v128, half: v128,
): v128 {
  const slope = f64x2.add(f64x2.add(alongX, f64x2.mul(bend, x)), skew)
  const log = f64x2.add(f64x2.add(c, f64x2.mul(x, slope)), alongY)
  return f64x2.add(f64x2.add(one, log), f64x2.mul(f64x2.mul(log, log), half))
}

// @ts-ignore: decorator
@inline
function times(value: v128, left: v128, right: v128): v128 {
  const upper = v128.shuffle<i32>(value, value, 2, 3, 2, 3)
  return v128.shuffle<i32>(
    f32x4.demote_f64x2_zero(f64x2.mul(f64x2.promote_low_f32x4(value), left)),
    f32x4.demote_f64x2_zero(f64x2.mul(f64x2.promote_low_f32x4(upper), right)),
    0, 1, 4, 5,
  )
}
