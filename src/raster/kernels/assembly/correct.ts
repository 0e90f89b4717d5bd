// A measured colour correction: channels, their tone, root-polynomial terms, coefficients. See steps/colour/.

/**
 * The cube root of numbers that are not negative; relative error below 3e-7. The root's inverse is guessed from a third
 * of the exponent and bettered three times by Newton's method, which needs no division.
 */
// @ts-ignore: decorator
@inline
function cbrtx4(x: v128): v128 {
  const held = f32x4.max(x, f32x4.splat(1e-30))
  const minusThird = f32x4.mul(held, f32x4.splat(<f32>(-1.0 / 3.0)))
  const four = f32x4.splat(<f32>(4.0 / 3.0))
  const exponent = f32x4.mul(f32x4.convert_i32x4_s(held), f32x4.splat(<f32>(1.0 / 3.0)))
  let y = i32x4.sub(i32x4.splat(0x54a24000), i32x4.trunc_sat_f32x4_s(exponent))
  y = f32x4.mul(y, f32x4.add(four, f32x4.mul(minusThird, f32x4.mul(f32x4.mul(y, y), y))))
  y = f32x4.mul(y, f32x4.add(four, f32x4.mul(minusThird, f32x4.mul(f32x4.mul(y, y), y))))
  y = f32x4.mul(y, f32x4.add(four, f32x4.mul(minusThird, f32x4.mul(f32x4.mul(y, y), y))))
  return f32x4.mul(held, f32x4.mul(y, y))
}

/** The bent curve on the cube-root scale; straight on beyond 1. */
// @ts-ignore: decorator
@inline
function bentx4(s: v128, a: f32, b: f32): v128 {
  const one = f32x4.splat(1)
  const rest = f32x4.sub(one, s)
  const bend = f32x4.add(f32x4.splat(a), f32x4.mul(f32x4.splat(b), f32x4.sub(rest, s)))
  const inside = f32x4.add(s, f32x4.mul(f32x4.mul(s, rest), bend))
  const beyond = f32x4.sub(one, f32x4.mul(rest, f32x4.splat(1 - a + b)))
  return v128.bitselect(inside, beyond, f32x4.le(s, one))
}

/** A row of three of the nine numbers, times three planes' values, plus an offset. */
// @ts-ignore: decorator
@inline
function rowOf(m: usize, offset: usize, x: v128, y: v128, z: v128): v128 {
  const sum = f32x4.add(
    f32x4.add(f32x4.mul(v128.load_splat<f32>(m), x), f32x4.mul(v128.load_splat<f32>(m, 4), y)),
    f32x4.mul(v128.load_splat<f32>(m, 8), z),
  )
  return f32x4.add(sum, v128.load_splat<f32>(offset))
}

// @ts-ignore: decorator
@inline
function add3(sum: v128, m: usize, x: v128, y: v128, z: v128): v128 {
  return f32x4.add(sum, rowOf(m, ZERO, x, y, z))
}

/** One float32 zero, for a row without offset. */
const ZERO: usize = memory.data<f32>([0])

/** The field between its nodes, straight lines along both sides. */
// @ts-ignore: decorator
@inline
function fieldAt(field: usize, size: i32, across: f32, down: f32): v128 {
  const i = min(<i32>across, size - 2)
  const j = min(<i32>down, size - 2)
  const x = f32x4.splat(across - <f32>i)
  const y = f32x4.splat(down - <f32>j)
  const at = field + (<usize>(j * size + i) << 4)
  const below = at + (<usize>size << 4)
  const top = f32x4.add(v128.load(at), f32x4.mul(x, f32x4.sub(v128.load(at, 16), v128.load(at))))
  const bottom = f32x4.add(v128.load(below), f32x4.mul(x, f32x4.sub(v128.load(below, 16), v128.load(below))))
  return f32x4.add(top, f32x4.mul(y, f32x4.sub(bottom, top)))
}

/**
 * Corrects planes in place; count is a multiple of 4.
 * @param numbers float32: 9 from the planes to the channels, 3 offsets, 6 that bend (two a channel), then 3 rows of
 * coefficients, 3, 6 or 13 each
 * @param degree 1, 2 or 3
 * @param bent whether the six bend anything
 * @param field what is added besides, as a share of the channels' sum: `size` x `size` nodes over the first and the second
 * channel's share of the sum (rows of the second), four float32 each; size 0 for none
 */
export function correctColours(
  r: usize, g: usize, b: usize, count: i32, numbers: usize, degree: i32, bent: bool, field: usize, size: i32,
): void {
  const offsets = numbers + 36
  const bends = numbers + 48
  const first = numbers + 72
  const stride: usize = degree == 1 ? 12 : degree == 2 ? 24 : 52
  const second = first + stride
  const third = second + stride
  const zero = f32x4.splat(0)
  const sign = i32x4.splat(0x80000000)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const x = v128.load(r + i)
    const y = v128.load(g + i)
    const z = v128.load(b + i)
    let u = rowOf(numbers, offsets, x, y, z)
    let v = rowOf(numbers + 12, offsets + 4, x, y, z)
    let w = rowOf(numbers + 24, offsets + 8, x, y, z)
    // Cube roots of the channels, which both the tone and the third degree need.
    let p = zero
    let q = zero
    let s = zero
    if (bent) {
      p = bentx4(cbrtx4(f32x4.abs(u)), load<f32>(bends), load<f32>(bends, 4))
      q = bentx4(cbrtx4(f32x4.abs(v)), load<f32>(bends, 8), load<f32>(bends, 12))
      s = bentx4(cbrtx4(f32x4.abs(w)), load<f32>(bends, 16), load<f32>(bends, 20))
      const below = f32x4.lt(u, zero)
      const belowV = f32x4.lt(v, zero)
      const belowW = f32x4.lt(w, zero)
      u = v128.xor(f32x4.mul(f32x4.mul(p, p), p), v128.and(below, sign))
      v = v128.xor(f32x4.mul(f32x4.mul(q, q), q), v128.and(belowV, sign))
      w = v128.xor(f32x4.mul(f32x4.mul(s, s), s), v128.and(belowW, sign))
      p = v128.andnot(p, below)
      q = v128.andnot(q, belowV)
      s = v128.andnot(s, belowW)
    } else if (degree == 3) {
      p = cbrtx4(f32x4.max(u, zero))
      q = cbrtx4(f32x4.max(v, zero))
      s = cbrtx4(f32x4.max(w, zero))
    }
    let red = rowOf(first, ZERO, u, v, w)
    let green = rowOf(second, ZERO, u, v, w)
    let blue = rowOf(third, ZERO, u, v, w)
    if (degree > 1) {
      const up = f32x4.max(u, zero)
      const vp = f32x4.max(v, zero)
      const wp = f32x4.max(w, zero)
      const uv = f32x4.sqrt(f32x4.mul(up, vp))
      const vw = f32x4.sqrt(f32x4.mul(vp, wp))
      const uw = f32x4.sqrt(f32x4.mul(up, wp))
      red = add3(red, first + 12, uv, vw, uw)
      green = add3(green, second + 12, uv, vw, uw)
      blue = add3(blue, third + 12, uv, vw, uw)
    }
    if (degree == 3) {
      const pq = f32x4.mul(p, q)
      const qs = f32x4.mul(q, s)
      const ps = f32x4.mul(p, s)
      const pqq = f32x4.mul(pq, q)
      const qss = f32x4.mul(qs, s)
      const pss = f32x4.mul(ps, s)
      red = add3(red, first + 24, pqq, qss, pss)
      green = add3(green, second + 24, pqq, qss, pss)
      blue = add3(blue, third + 24, pqq, qss, pss)
      const qpp = f32x4.mul(pq, p)
      const sqq = f32x4.mul(qs, q)
      const spp = f32x4.mul(ps, p)
      red = add3(red, first + 36, qpp, sqq, spp)
      green = add3(green, second + 36, qpp, sqq, spp)
      blue = add3(blue, third + 36, qpp, sqq, spp)
      const all = f32x4.mul(pq, s)
      red = f32x4.add(red, f32x4.mul(v128.load_splat<f32>(first, 48), all))
      green = f32x4.add(green, f32x4.mul(v128.load_splat<f32>(second, 48), all))
      blue = f32x4.add(blue, f32x4.mul(v128.load_splat<f32>(third, 48), all))
    }
    if (size > 0) {
      const up = f32x4.max(u, zero)
      const vp = f32x4.max(v, zero)
      const sum = f32x4.max(f32x4.add(f32x4.add(up, vp), f32x4.max(w, zero)), f32x4.splat(1e-12))
      const last = f32x4.splat(<f32>(size - 1))
      const across = f32x4.mul(f32x4.div(up, sum), last)
      const down = f32x4.mul(f32x4.div(vp, sum), last)
      // Four pixels' red, green and blue, then turned over into three rows.
      const p0 = fieldAt(field, size, f32x4.extract_lane(across, 0), f32x4.extract_lane(down, 0))
      const p1 = fieldAt(field, size, f32x4.extract_lane(across, 1), f32x4.extract_lane(down, 1))
      const p2 = fieldAt(field, size, f32x4.extract_lane(across, 2), f32x4.extract_lane(down, 2))
      const p3 = fieldAt(field, size, f32x4.extract_lane(across, 3), f32x4.extract_lane(down, 3))
      const low = v128.shuffle<f32>(p0, p1, 0, 4, 1, 5)
      const high = v128.shuffle<f32>(p2, p3, 0, 4, 1, 5)
      const blues = v128.shuffle<f32>(v128.shuffle<f32>(p0, p1, 2, 6, 2, 6), v128.shuffle<f32>(p2, p3, 2, 6, 2, 6), 0, 1, 4, 5)
      red = f32x4.add(red, f32x4.mul(sum, v128.shuffle<f32>(low, high, 0, 1, 4, 5)))
      green = f32x4.add(green, f32x4.mul(sum, v128.shuffle<f32>(low, high, 2, 3, 6, 7)))
      blue = f32x4.add(blue, f32x4.mul(sum, blues))
    }
    v128.store(r + i, red)
    v128.store(g + i, green)
    v128.store(b + i, blue)
  }
}
