// Logarithm and power of two, four at a time, and what counts as painted.

/** log2 of positive finite numbers; absolute error below 2e-7. From the series of artanh on [1/sqrt 2, sqrt 2]. */
// @ts-ignore: decorator
@inline
export function log2x4(x: v128): v128 {
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
export function exp2x4(x: v128): v128 {
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

/** Logarithms to base 2: what differs from the bare sheet by less is bare, by more is painted. */
export const BARE_WITHIN: f32 = 0.1
export const PAINTED_BEYOND: f32 = 0.25
